package web

// assignRoutes are the routes of assignments.
func (s *Server) assignRoutes() []route { return nil }
