// Package password keeps passwords and says which are good enough. It knows no
// accounts and no HTTP.
//
// What is kept is a hash by Argon2id (RFC 9106), written with its parameters and
// its salt as the reference implementation writes it:
//
//	$argon2id$v=19$m=19456,t=2,p=1$<salt>$<hash>
//
// A password is taken as it was typed, after Unicode's NFKC (UAX #15), so that it
// is the same from every keyboard: NIST SP 800-63B of 2017, section 5.1.1.2
// (the sections of it from memory). No rule asks
// for kinds of characters, and none has an end after which it has to be changed.
package password
