// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package report

import (
	"embed"
	"html/template"
	"io"
	"regexp"
	"slices"
	"strings"

	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

//go:embed page.html parts.html style.css
var sources embed.FS

// Templates are the parts of a page, by name: "style", "heading", "sections", "section",
// "picture", "budget". "page" is the whole, of a [Page].
var Templates = template.Must(template.New("").Funcs(template.FuncMap{
	"style":    func() template.CSS { return template.CSS(Style()) },
	"class":    verdictClass,
	"unbroken": unbroken,
}).ParseFS(sources, "page.html", "parts.html"))

var setting = regexp.MustCompile(`\d+(?:-\d+)+`)

// unbroken is a sentence whose settings stay on one line: browsers break them at each hyphen.
func unbroken(text string) template.HTML {
	return template.HTML(setting.ReplaceAllString(template.HTMLEscapeString(text),
		`<span class="unbroken">$0</span>`))
}

// Style is the style sheet of the pages.
func Style() string {
	text, err := sources.ReadFile("style.css")
	if err != nil {
		panic(err) // it is part of the program
	}
	return string(text)
}

// A Page is what the template "page" shows, from top to bottom.
type Page struct {
	Title    string
	Verdict  []string // the first sentences of all
	Heading  [][2]string
	Answer   []verify.Section // what is wrong, what to do
	Pictures []Picture
	Budgets  []Budget
	Details  []verify.Section
	Missing  []string // pictures that were not drawn, and why
	Footer   string
}

// A Picture is a drawing inside the page.
type Picture struct {
	Title string
	SVG   template.HTML
}

// A Budget is a table of an uncertainty budget with what is said below it.
type Budget struct {
	Title     string
	Head      []string
	Rows      [][]string
	Hidden    int
	Statement []string
	Warnings  []string
}

const footer = "Made with ohmwright. It replaces no standard, no accredited laboratory and no " +
	"person who " +
	"answers for the result."

// OfBox is the page about a box: what an inspection says of it.
func OfBox(a *inspect.Answer) *Page {
	p := &Page{Title: "Inspection of a decade box", Heading: a.Heading(), Footer: footer}
	if name := a.Report.Box.Name(); name != "" {
		p.Title = "Inspection of " + name
	}
	for _, s := range a.Sections() {
		switch {
		case s.Detail:
			p.Details = append(p.Details, s)
		case len(p.Verdict) == 0 && len(s.Texts) > 0:
			n := min(2, len(s.Texts)) // what was judged, and whether the box conforms
			p.Verdict = s.Texts[:n]
			if s.Texts = s.Texts[n:]; len(s.Texts) > 0 || len(s.Rows) > 0 {
				p.Answer = append(p.Answer, s)
			}
		default:
			p.Answer = append(p.Answer, s)
		}
	}
	return p
}

// OfBudget is the page about the result of a model.
func OfBudget(title string, b *uncertainty.Budget) *Page {
	p := &Page{Title: title, Verdict: b.Statement()[:1], Footer: footer}
	p.AddBudget("Uncertainty budget", b)
	return p
}

// AddBudget adds a budget to the page.
func (p *Page) AddBudget(title string, b *uncertainty.Budget) {
	head, rows, hidden := b.Table()
	p.Budgets = append(p.Budgets, Budget{title, head, rows, hidden, b.Statement(),
		b.WarningTexts()})
}

// AddPicture draws a figure into the page; one that could not be made is mentioned with its
// cause.
func (p *Page) AddPicture(name string, f *chart.Figure, err error) {
	if err == nil {
		var picture Picture
		if picture, err = NewPicture(f); err == nil {
			p.Pictures = append(p.Pictures, picture)
			return
		}
	}
	p.Missing = append(p.Missing, name+": "+unit.Cause(err).Error())
}

// NewPicture draws a figure as SVG that stands inside HTML.
func NewPicture(f *chart.Figure) (Picture, error) {
	svg, err := f.Encode("svg")
	if err != nil {
		return Picture{}, err
	}
	return Picture{f.Title(), inside(string(svg))}, nil
}

var svgSize = regexp.MustCompile(`<svg ([^>]*?)width="([0-9.]+)pt" height="([0-9.]+)pt"`)

// inside drops what belongs to a file of its own, and lets the picture shrink with the page.
// The SVG is the program's own drawing, in which every text from data has been escaped.
func inside(svg string) template.HTML {
	if i := strings.Index(svg, "<svg "); i > 0 {
		svg = svg[i:]
	}
	svg = svgSize.ReplaceAllString(svg, `<svg ${1}class="picture"`)
	return template.HTML(svg)
}

// WriteHTML writes the page.
func (p *Page) WriteHTML(w io.Writer) error { return Templates.ExecuteTemplate(w, "page", p) }

// verdictClass marks the cells of a verdict: colour helps, the words say it.
func verdictClass(cell string) string {
	classes := []struct{ words, class string }{
		{"conforms", "good"}, {"does not conform", "bad"}, {"cannot be decided",
			"open"}, {"withheld", "open"},
	}
	i := slices.IndexFunc(classes,
		func(c struct{ words, class string }) bool { return c.words == cell })
	if i < 0 {
		return ""
	}
	return classes[i].class
}
