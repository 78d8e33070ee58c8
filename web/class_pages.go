package web

// classRoutes are the routes of classes and rosters.
func (s *Server) classRoutes() []route { return nil }
