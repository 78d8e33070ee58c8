package web

// accountRoutes are the routes of account and sign-in.
func (s *Server) accountRoutes() []route { return nil }
