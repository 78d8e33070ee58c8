package live

import "maps"

// Changed tells the pages that have one of these lessons open in another version than
// the one it has now, by the lesson's name; a lesson that is gone has no version. They go
// on with what they have.
func (h *Hub) Changed(versions map[string]string) {
	h.mu.Lock()
	maps.Copy(h.versions, versions)
	open := make([]*session, 0, len(h.sessions))
	for s := range h.sessions {
		open = append(open, s)
	}
	h.mu.Unlock()
	for _, s := range open {
		s.mu.Lock()
		if now, ok := versions[s.lesson]; ok && s.cells != nil {
			s.tellVersion(now)
		}
		s.mu.Unlock()
	}
}

// versionOf returns the version of a lesson that has changed while the hub was there.
func (h *Hub) versionOf(lesson string) (version string, ok bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	version, ok = h.versions[lesson]
	return version, ok
}

// tellVersion tells the page once that its lesson has another version. The caller holds mu.
func (s *session) tellVersion(now string) {
	if s.version != now && !s.ended && s.told != now+" " {
		s.told = now + " "
		s.send("", changedMessage{"changed", s.revision, now})
	}
}
