package password

import (
	"strings"
	"unicode/utf8"
)

// The length of a password, in characters. NIST SP 800-63B, section 5.1.1.2, asks
// for at least 8, and for at least 64 to be allowed.
const (
	Least = 8
	Most  = 200
)

// What is wrong with a password.
const (
	tooShort  = "Use at least 8 characters."
	tooLong   = "Use at most 200 characters."
	guessable = "This is easy to guess: it is your name or the name of this server. Choose another password."
	tooCommon = "This is one of the most common passwords. Choose another."
)

// Help says before anything is typed what makes a password.
const Help = "At least 8 characters. A few words that only you would put together make a good password."

// Wrong explains why a password is not good enough for an account, or nothing. known
// are words that a guesser knows too, such as the sign-in name.
func Wrong(password string, known ...string) string {
	password = Normal(password)
	switch n := utf8.RuneCountInString(password); {
	case n < Least:
		return tooShort
	case n > Most:
		return tooLong
	}
	folded := fold(password)
	for _, k := range append(known, "shaftbook") {
		if k = fold(k); k != "" && strings.Contains(folded, k) && strings.Trim(strings.ReplaceAll(folded, k, ""), "0123456789") == "" {
			return guessable
		}
	}
	if common[folded] || rows(folded) {
		return tooCommon
	}
	return ""
}

// fold is a word without what makes no difference to who guesses.
func fold(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(Normal(s)), ""))
}

// rows reports whether a word is one character over and over, or a piece of a
// row of the keyboard, the alphabet or the digits, there or back.
func rows(s string) bool {
	first, _ := utf8.DecodeRuneInString(s)
	if strings.Trim(s, string(first)) == "" {
		return true
	}
	for _, row := range []string{"01234567890123456789", "abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm", "qwertzuiopasdfghjklyxcvbnm", "azertyuiopqsdfghjklmwxcvbn"} {
		if strings.Contains(row, s) || strings.Contains(backwards(row), s) {
			return true
		}
	}
	return false
}

func backwards(s string) string {
	b := []byte(s)
	for i, j := 0, len(b)-1; i < j; i, j = i+1, j-1 {
		b[i], b[j] = b[j], b[i]
	}
	return string(b)
}

// common are passwords of at least 8 characters that are tried first. The list
// is our own, from memory; longer lists are common practice.
var common = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(`
		password password1 password12 password123 password1234 passw0rd p@ssw0rd p@ssword passwort passwort1 motdepasse
		contraseña contrasena senha123 wachtwoord salasana lösenord losenord adgangskode parool123 haslo123
		iloveyou iloveyou1 ilovemyself letmein1 letmein123 letmeinnow welcome1 welcome12 welcome123 willkommen bienvenue
		qwerty12 qwerty123 qwerty1234 qwertyui qwertz123 1q2w3e4r 1q2w3e4r5t 1qaz2wsx 1qazxsw2 q1w2e3r4 zaq12wsx asdf1234 asdfasdf
		abcd1234 abc12345 a1b2c3d4 aa123456 a1234567 12341234 12121212 11223344 11112222 123123123 123321123 112233445566
		147258369 987654321 87654321 00000001 20252025 20262026 changeme changeme1 changeit default1 secret123 secretsecret
		admin123 admin1234 administrator instructor instructor1 teacher1 teacher123 student1 student01 student123 students
		school123 classroom class123 classclass university college1 engineer engineering mechanics mechanics1 physics1
		football football1 baseball basketball superman batman123 spiderman pokemon1 starwars starwars1 trustno1 whatever
		sunshine sunshine1 princess princess1 charlie1 michael1 jennifer jessica1 michelle computer computer1 internet
		monkey123 dragon123 master123 shadow12 hello123 hello1234 hellohello test1234 testtest testing1 testing123 guest123
		shaftbook1 torsion1 watermill millwheel`) {
		m[fold(w)] = true
	}
	return m
}()
