package canvas

// Palette returns the class and the light colour (#rrggbb) of every ink that
// has a colour of its own, for the test that holds the page's style sheet to
// them.
func Palette() map[string]string {
	out := map[string]string{}
	for _, s := range inks {
		if s.own != "" {
			out[s.class] = s.own
		}
	}
	return out
}
