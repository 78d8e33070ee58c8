package web

// boardRoutes are the routes of the board view.
func (s *Server) boardRoutes() []route { return nil }
