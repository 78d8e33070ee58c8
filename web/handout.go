package web

// handoutRoutes are the routes of printed sheets.
func (s *Server) handoutRoutes() []route { return nil }
