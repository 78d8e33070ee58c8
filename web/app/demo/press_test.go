package demo

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
)

// A form is what a page lets its reader send, as it is there.
type form struct {
	on, action string
	enctype    string
	fields     url.Values
}

var (
	formOf   = regexp.MustCompile(`(?s)<form\b([^>]*)>(.*?)</form>`)
	controls = regexp.MustCompile(`(?s)<(input|button|textarea|select)\b([^>]*)>`)
	optionOf = regexp.MustCompile(`(?s)<option\b([^>]*)>`)
	areaText = regexp.MustCompile(`(?s)^(.*?)</textarea>`)
)

// attribute returns an attribute of a tag, and whether it is there.
func attribute(tag, name string) (string, bool) {
	m := regexp.MustCompile(`(?:^|\s)` + name + `(?:="([^"]*)")?(?:\s|$)`).FindStringSubmatch(tag)
	if m == nil {
		return "", false
	}
	return html.UnescapeString(m[1]), true
}

// formsOf reads the forms of a page that change something.
func formsOf(on, body string) (list []form) {
	for _, m := range formOf.FindAllStringSubmatch(body, -1) {
		if method, _ := attribute(m[1], "method"); method != "post" {
			continue
		}
		f := form{on: on, fields: url.Values{}}
		f.action, _ = attribute(m[1], "action")
		f.enctype, _ = attribute(m[1], "enctype")
		for _, at := range controls.FindAllStringSubmatchIndex(m[2], -1) {
			f.add(m[2][at[2]:at[3]], m[2][at[4]:at[5]], m[2][at[1]:])
		}
		list = append(list, f)
	}
	return list
}

// add notes one control as a browser would send it.
func (f *form) add(tag, attributes, after string) {
	name, _ := attribute(attributes, "name")
	value, _ := attribute(attributes, "value")
	kind, _ := attribute(attributes, "type")
	_, checked := attribute(attributes, "checked")
	switch {
	case name == "" || kind == "file" || kind == "submit":
		return
	case (kind == "checkbox" || kind == "radio") && !checked:
		return
	case tag == "button" && f.fields.Has(name): // one button is pressed
		return
	case tag == "textarea":
		value = html.UnescapeString(areaText.FindStringSubmatch(after)[1])
	case tag == "select":
		end := strings.Index(after, "</select>")
		options := optionOf.FindAllStringSubmatch(after[:max(end, 0)], -1)
		for i, o := range options {
			v, _ := attribute(o[1], "value")
			if _, selected := attribute(o[1], "selected"); selected || i == 0 {
				value = v
			}
		}
	}
	f.fields.Add(name, value)
}

// press sends a form and goes where it leads.
func (r *reader) press(f form) (status int, body string) {
	r.t.Helper()
	kind, content := "application/x-www-form-urlencoded", f.fields.Encode()
	if f.enctype == "multipart/form-data" {
		var b strings.Builder
		for name, values := range f.fields {
			for _, v := range values {
				b.WriteString("--edge\r\nContent-Disposition: form-data; name=\"" + name + "\"\r\n\r\n" + v + "\r\n")
			}
		}
		kind, content = "multipart/form-data; boundary=edge", b.String()+"--edge--\r\n"
	}
	request, err := http.NewRequestWithContext(r.t.Context(), http.MethodPost, r.base+f.action, strings.NewReader(content))
	if err != nil {
		r.t.Fatal(err)
	}
	request.Header.Set("Content-Type", kind)
	request.Header.Set("Origin", r.base)
	status, body, header := r.send(request)
	if status != http.StatusSeeOther {
		return status, body
	}
	status, body, _ = r.get(header.Get("Location"))
	return status, body
}

// endings are forms after which there is less than before; they come last.
var endings = []string{"/withdraw", "/hide", "/delete", "/remove", "/erase", "/leave", "/out", "/sign-out", "/account/sessions"}

// pressAll sends every form of the pages that were read, one of each kind.
func (r *reader) pressAll(not ...string) {
	r.t.Helper()
	// Seven answers in a minute are one too many, and that is said too.
	fine := []int{http.StatusOK, http.StatusConflict, http.StatusUnprocessableEntity, http.StatusTooManyRequests}
	alike := map[string]bool{}
	forms := slices.DeleteFunc(r.forms, func(f form) bool {
		k := kind(f.on + " " + f.action)
		again := alike[k]
		alike[k] = true
		return again || slices.Contains(not, f.action)
	})
	last := func(f form) int {
		return slices.IndexFunc(endings, func(e string) bool { return strings.HasSuffix(f.action, e) })
	}
	slices.SortStableFunc(forms, func(a, b form) int { return last(a) - last(b) })
	for _, f := range forms {
		if status, body := r.press(f); !slices.Contains(fine, status) {
			r.t.Errorf("on %s, %s with %v answers %d\n%.400s", f.on, f.action, f.fields, status, body)
		}
	}
	r.t.Logf("%d forms", len(forms))
}
