// Package shaft draws shafts to scale, with supports, torques, dimensions,
// segments, the twisted surface and diagrams along the length.
package shaft
