// Package deploy holds what it takes to run several servers on one database: the
// settings of a proxy (haproxy.cfg), the page for whoever runs them (README.md), and the
// test that runs three servers behind that proxy and lets them, and the database, fail
// under load.
package deploy
