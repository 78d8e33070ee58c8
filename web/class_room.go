package web

// roomRoutes are the routes of the live view of a room.
func (s *Server) roomRoutes() []route { return nil }
