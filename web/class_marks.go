package web

// marksRoutes are the routes of marks.
func (s *Server) marksRoutes() []route { return nil }
