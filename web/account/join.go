package account

import (
	"errors"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// wrongJoin does not say what is wrong: a guesser would learn who is in
// which class.
const wrongJoin = "This code and this name do not match, or the account already has a password. " +
	"Check both, try your e-mail address or student number instead, or ask your instructor for a link."

// showJoin shows the form for a student who has the code of a class.
func (h *Handlers) showJoin(w http.ResponseWriter, r *http.Request) {
	h.sendEntry(w, r, http.StatusOK, joinForm("", ""))
}

func joinForm(code, who string) page.EntryForm {
	return page.EntryForm{
		Heading: "Join a class", Action: "/join", Button: "Join",
		Text: []string{"Your instructor has put you on the roster of a class and given you its code. Enter the code here and choose a password."},
		Fields: []page.ClassField{
			{Name: "code", Label: "Class code", Type: "text", Value: code, Help: "Eight letters and digits, for example ABCD-EFGH."},
			{Name: "who", Label: "Username", Type: "text", Value: who, Fill: "username", Help: "Your username, e-mail address or student number, as on the roster."},
			newPasswordField("Choose a password"),
		},
		Ways: []page.EntryWay{{Before: "Do you already have an account?", Label: "Sign in", Path: "/sign-in", After: "; your new class will be listed there."}},
	}
}

// takeJoin gives a student on a roster a password and signs the student in. The
// roster is secret, so the name is asked for and not picked from a list.
func (h *Handlers) takeJoin(w http.ResponseWriter, r *http.Request) {
	form := joinForm(request.Line(r, "code"), request.Line(r, "who"))
	form.Own = r.PostFormValue("own") != ""
	code, who := enrolment.ReadJoinCode(form.Fields[0].Value), form.Fields[1].Value
	refuse := func() { h.sendEntry(w, r, http.StatusUnprocessableEntity, form) }
	chosen := r.PostFormValue("password")
	form.Fields[2].Wrong = password.Wrong(chosen, who)
	if missing(form.Fields) || form.Fields[2].Wrong != "" {
		refuse()
		return
	}
	k, wait, err := h.attempt(r, "join", who)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if wait > 0 {
		form.Wrong = tooSoon(w, wait)
		h.sendEntry(w, r, http.StatusTooManyRequests, form)
		return
	}
	// Before anything is looked up, so that it takes as long for every name.
	encoded, err := h.passwords.Hash(r.Context(), chosen)
	if err != nil {
		k.undo()
		h.failPassword(w, r, err)
		return
	}
	p, in, err := enrolment.Joining(r.Context(), h.Store, code, who)
	if err == nil {
		err = h.Store.Claim(r.Context(), code, p.ID, encoded)
	}
	if errors.Is(err, class.ErrNone) || errors.Is(err, class.ErrSpent) {
		form.Wrong = wrongJoin
		refuse()
		return
	}
	if err != nil {
		k.undo()
	} else {
		k.succeed()
		err = h.Sessions.Open(w, r, p.ID, form.Own)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.noteEntry(r, in, p, "with the join code")
	http.Redirect(w, r, firstPage(p, ""), http.StatusSeeOther)
}
