// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/document"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// A report is written in four forms. Text and Markdown are for people: the same sections, what
// was found first, then every row, then how the figures came about (document prints them). CSV
// has one line for each row and JSON the whole, both in ohms and in full precision, for
// programs.
//
// Figures for people are rounded by the guides: U to two digits, the estimate to the place of U
// (GUM 7.2.6), so that 1000.0213 Ω with U = 12.4 mΩ is printed 1000.021 with 0.012. Verdicts
// were decided before any rounding, in the decimals of the readings.
//
// Sections are made by functions of the report alone, none of which computes: what a section
// says is in the fields of the Report, where programs find it as well.

// String returns the report as WriteText writes it.
func (r *Report) String() string {
	r = cmp.Or(r, &Report{})
	var s strings.Builder
	r.WriteText(&s) // a strings.Builder takes everything
	return s.String()
}

// Heading returns the lines that stand above every form of the report, each as a label and a
// text: the box with its class, the meter with its limits, and the decision rule.
func (r *Report) Heading() [][2]string {
	r = cmp.Or(r, &Report{})
	name := r.Box.Name()
	if s := r.Box.Serial(); s != "" {
		name += ", serial " + s
	}
	m := &r.Meter
	meter := []string{cmp.Or(m.Name, "not named")}
	// What is not stated leaves no gap: "not named; limits: 1 year".
	for _, part := range [][2]string{{", serial ", m.Serial}, {", certificate ", m.Certificate},
		{", due ", m.Due}, {"; limits: ", m.Specification}} {
		if part[1] != "" {
			meter = append(meter, part[0]+part[1])
		}
	}
	return [][2]string{
		{"Box", name}, {"Class", r.classText()}, {"Meter", strings.Join(meter, "")},
		{"Meter limits", r.limitsText()}, {"Decision rule", r.Rule.String()},
	}
}

// foundTexts is how much was judged, the verdicts in numbers, and the facts, a sentence each:
// first what holds of the box as a whole, then of settings that stay open, then of the meter,
// and of single steps last. How much was looked at comes before any verdict, since one zero
// reading is no conforming box.
func (r *Report) foundTexts() []string {
	var out []string
	stages := r.Stages()
	for _, s := range stages {
		h, counted := r.Headline(s), r.Summary(s)
		counted.Withheld = 0 // h says it
		text := strings.Join(append([]string{h.judgedText() + ": " + counted.counts()},
			h.missingTexts()...), "; ")
		if len(stages) > 1 {
			text = wording.Upper(s.String()) + ", " + text
		}
		out = append(out, text+".")
	}
	out = append(out, "The box "+r.Verdict().String()+r.verdictReason())
	for _, stage := range stages {
		// What scatters is open for another reason, which its finding states.
		open := slices.DeleteFunc(r.undecided(stage), r.Switching.scattersApart)
		if len(open) > 0 {
			out = append(out,
				"Too close to a limit for this meter, "+
					stage.String()+": "+wording.Settings(open)+".")
		}
	}
	for _, m := range r.MeterErrors {
		out = append(out, m.String())
	}
	// Only what dominates is said here; all of them are a table of their own.
	for _, c := range r.Common {
		if c.Rules {
			out = append(out, r.withStage(c.Stage, c.String()))
		}
	}
	for _, x := range r.Shared {
		out = append(out, r.withStage(x.Stage, x.String()))
	}
	return append(out, r.texts(r.Findings)...)
}

// withStage puts the stage before a sentence where there are two: "As left: …".
func (r *Report) withStage(stage Stage, text string) string {
	if len(r.Stages()) > 1 {
		return wording.Upper(stage.String()) + ": " + text
	}
	return text
}

// texts are findings in sentences, with their stage where there are two.
func (r *Report) texts(findings []Finding) []string {
	out := make([]string, len(findings))
	for i, f := range findings {
		out[i] = r.withStage(f.Stage, f.String())
	}
	return out
}

// metTexts are the classes that are met, with their stage where there are two.
func (r *Report) metTexts() []string {
	out := make([]string, len(r.ClassMet))
	for i, c := range r.ClassMet {
		out[i] = r.withStage(c.Stage, c.String())
	}
	return out
}

// comparedTexts are the comparisons inside the box, those that say most first: that two settings
// cannot both be inside their class, then that one follows from the other, then the rest. At
// most twelve: of 60 settings there may be hundreds, and the first few decide.
func (r *Report) comparedTexts() []string {
	rank := func(c Comparison) int {
		switch {
		case c.NotBoth:
			return 0
		case c.AFollows || c.BFollows:
			return 1
		}
		return 2
	}
	sorted := slices.Clone(r.Compared)
	slices.SortStableFunc(sorted, func(a, b Comparison) int { return rank(a) - rank(b) })
	const most = 12
	var out []string
	for i, c := range sorted {
		if i == most {
			return append(out, wording.Plural(len(sorted)-most,
				"more comparison")+" in the data of the report.")
		}
		out = append(out, r.withStage(c.Stage, c.String()))
	}
	return out
}

// commonSection is the table of what is common: the shift of all readings, of a range, of a
// dial, or where a dial changes the range, each beside what the meter, the temperature and the
// class can explain of it. All are relative, as a shift in common is a factor.
func (r *Report) commonSection() Section {
	t := Section{Title: "Common deviations", Head: []string{"Readings", "Shift", "U(95 %)",
		"Values", "Meter", "Temperature", "Class"}, Detail: true}
	for _, c := range r.Common {
		name := "all"
		switch c.Scope {
		case CommonRange:
			name = "range " + c.Range
		case CommonDial:
			name = c.Name + " dial"
		case CommonJump:
			name = fmt.Sprintf("%s dial, %s to %s", c.Name, c.From, c.Range)
		}
		if len(r.Stages()) > 1 {
			name += ", " + c.Stage.String()
		}
		limit := func(f float64) string { return "±" + unsignedRelative(f) }
		t.Rows = append(t.Rows, []string{name, shiftText(c.Shift, c.U), unsignedRelative(c.U),
			strconv.Itoa(c.Values), limit(c.Meter), limit(c.Temperature), limit(c.Box)})
	}
	return t
}

// verdictReason ends the sentence on the box, in the order in which Verdict decides. Of an
// undecided box it says what is missing: verdicts that are withheld, dials that nobody read, or
// readings that decide.
func (r *Report) verdictReason() string {
	switch r.Verdict() {
	case conformity.VerdictConforms:
		return ": every setting that was judged does."
	case conformity.VerdictDoesNotConform:
		return ": not every setting does."
	}
	stages := r.Stages()
	if len(stages) == 0 {
		return "."
	}
	last := stages[len(stages)-1]
	switch dials := r.undecidedDials(last); {
	case r.Summary(last).Withheld > 0:
		return ": verdicts are withheld."
	case len(dials) > 0:
		return ": nothing was judged of " + wording.Plural(len(dials), "dial") + "."
	}
	return " with these readings."
}

// undecided lists the settings of a stage that cannot be decided, each once, in the order of the
// rows.
func (r *Report) undecided(stage Stage) []decade.Setting {
	var out []decade.Setting
	verdicts := r.settingVerdicts(stage)
	for i := range r.Rows {
		s := r.Rows[i].Setting
		if x, ok := verdicts[s]; ok && x.judged && x.verdict == conformity.VerdictUndecided {
			out = append(out, s)
			// A second dialling of the setting finds it gone.
			delete(verdicts, s)
		}
	}
	return out
}

// settingsSection is the table of the rows, without them: see eachRow.
func (r *Report) settingsSection() Section {
	return Section{Title: "Settings", Head: r.head(), LastLeft: true, Detail: true}
}

// eachRow makes the cells of one row after the other. The width of a column of text needs all
// rows, so that a writer may go over the sequence twice; the cells of 100,000 rows at once would
// be most of the memory.
func (r *Report) eachRow() iter.Seq[[]string] {
	stages := len(r.Stages())
	return func(yield func([]string) bool) {
		for i := range r.Rows {
			if !yield(r.Rows[i].cells(stages)) {
				return
			}
		}
	}
}

// head names the columns of the rows, with the coverage probability that the rule asks for:
// "U(95 %)/Ω", at 0.9545 "U(95.45 %)/Ω".
func (r *Report) head() []string {
	p := r.Rule.Coverage
	if p == 0 {
		p = 0.95
	}
	return []string{
		"Setting", "Nominal/Ω", "Measured/Ω", "Deviation/Ω", "relative",
		"U(" + unit.Percent(p) + " %)/Ω",
		"Limits/Ω", "TUR", "Probability", "Verdict",
	}
}

// cells prints a row for a reader.
func (row *Row) cells(stages int) []string {
	setting := row.Setting.String()
	if row.Reading.Dialling > 1 {
		setting += " #" + strconv.Itoa(row.Reading.Dialling)
	}
	if stages > 1 {
		setting += " " + row.Reading.Stage.String()
	}
	verdict := row.verdictText()
	if row.Overload {
		return []string{setting, wording.Number(row.Nominal), "above range", "", "", "",
			wording.Limits(row.Limits), "", "", verdict}
	}
	u := row.Expanded.U
	// Measured and deviation are rounded by one U, so that they end at one place.
	measured, _, _ := strings.Cut(uncertainty.FormatPlusMinus(row.Measured.Estimate(), u, 2), " ± ")
	deviation, uText, _ := strings.Cut(uncertainty.FormatPlusMinus(row.Deviation.Estimate(), u, 2),
		" ± ")
	// Signed: a deviation has a direction, and "high" is what people look for.
	if row.Deviation.Estimate() > 0 {
		deviation = "+" + deviation
	}
	relative, ratio, probability := "", "", ""
	if row.Judged {
		probability = probabilityText(row.Probability)
	}
	// At the zero setting there is nothing to divide by.
	if row.Nominal > 0 {
		relative = relativeText(row.Deviation.Estimate() / row.Nominal)
	}
	if !math.IsNaN(row.UncertaintyRatio) {
		ratio = wording.Number(wording.Rounded(row.UncertaintyRatio, 2))
	}
	return []string{setting, wording.Number(row.Nominal), measured, deviation, relative, uText,
		wording.Limits(row.Limits), ratio, probability, verdict}
}

// verdictText is the verdict with its note, or the note alone where nothing was judged.
func (row *Row) verdictText() string {
	switch {
	case !row.Judged:
		return row.Note
	case row.Note != "":
		return row.Verdict.String() + " (" + row.Note + ")"
	}
	return row.Verdict.String()
}

// relativeText gives a small fraction in per cent or ppm, with its sign: "+23 ppm" below a
// thousandth, "-0.12 %" from there on.
func relativeText(f float64) string {
	// 999.6 ppm are 1000 when they are rounded, and those are 0.1 %.
	switch ppm := wording.Rounded(1e6*f, 2); {
	case f == 0:
		return "0"
	case math.Abs(ppm) < 1000:
		return fmt.Sprintf("%+.3g ppm", ppm)
	default:
		return fmt.Sprintf("%+.3g %%", 100*f)
	}
}

// A Section is a part of a report: sentences under a title, or a table. Detail marks what
// supports the answer and stands after it. Any number of goroutines may read one at once.
type Section = document.Section

// Sections returns the parts of the report in order: what is not plausible, what was found,
// what comparisons inside the box say where the meter is too coarse; and then, as details,
// every row, common deviations, the class still met, how the results were obtained, and the
// warnings. Package decade/inspect puts causes and the next step between answer and details.
func (r *Report) Sections() []Section {
	r = cmp.Or(r, &Report{})
	// A caller gets a slice that he may keep, not a sequence over a report that he may change.
	settings := r.settingsSection()
	settings.Rows = slices.Collect(r.eachRow())
	return r.sections(settings)
}

// printed are the sections for a writer, which makes the cells of a row when it prints it.
func (r *Report) printed() []Section {
	return r.sections(document.Each(r.settingsSection(), r.eachRow()))
}

// sections are the parts of the report around a table of its rows, settings. Parts without
// content are left out, but for what was found and how: a report always says both.
func (r *Report) sections(settings Section) []Section {
	var out []Section
	if len(r.Implausible) > 0 {
		out = append(out, Section{Title: "Not plausible: verdicts withheld",
			Texts: r.texts(r.Implausible)})
	}
	out = append(out, Section{Title: "What was found", Texts: r.foundTexts()})
	// With the answer and not behind it: where the meter is too coarse, these are the answer.
	if len(r.Compared) > 0 {
		out = append(out, Section{Title: "Compared inside the box, where the meter is too coarse",
			Texts: r.comparedTexts()})
	}
	out = append(out, settings)
	if len(r.Common) > 0 {
		out = append(out, r.commonSection())
	}
	if len(r.ClassMet) > 0 {
		out = append(out, Section{Title: "Class still met", Texts: r.metTexts(), Detail: true})
	}
	out = append(out, Section{Title: "How the results were obtained", Texts: r.notesAndColumns(),
		Detail: true})
	if len(r.Warnings) > 0 {
		out = append(out, Section{Title: "Warnings", Texts: r.warningTexts(), Detail: true})
	}
	return out
}

// WriteText writes the report for a screen: what was found first, then every row, how
// the figures were made, and the warnings.
func (r *Report) WriteText(w io.Writer) error {
	r = cmp.Or(r, &Report{})
	return document.Text(w, r.Heading(), r.printed())
}

// WriteMarkdown writes the report with its rows as a Markdown table.
func (r *Report) WriteMarkdown(w io.Writer) error {
	r = cmp.Or(r, &Report{})
	return document.Markdown(w, r.Heading(), r.printed())
}

// warningTexts drops the name of the function from the warnings: the reader of a report has no
// program. A warning that a caller has added stays as it is.
func (r *Report) warningTexts() []string {
	out := make([]string, len(r.Warnings))
	for i, err := range r.Warnings {
		out[i] = err.Error()
		if e, ok := err.(*Error); ok {
			out[i] = wording.Upper(e.Err.Error())
		}
	}
	return out
}

// WriteCSV writes one line for each row, separated by commas, all numbers in full
// precision and in ohms. What does not exist is an empty cell. examples/formats/README.md
// lists the columns.
func (r *Report) WriteCSV(w io.Writer) error {
	r = cmp.Or(r, &Report{})
	rows := [][]string{{
		"stage", "setting", "dialling", "range", "nominal", "measured", "deviation",
		"standard uncertainty", "degrees of freedom", "coverage factor", "expanded uncertainty",
		"lower limit", "upper limit", "test uncertainty ratio", "probability of conformity",
		"verdict", "note",
	}}
	for i := range r.Rows {
		row := &r.Rows[i]
		// By place, in the order of the head: 5 to 10 are figures of the value, 13 to 15 of the
		// verdict.
		line := []string{
			row.Reading.Stage.String(), row.Setting.String(),
			strconv.Itoa(row.Reading.Dialling), row.Range, wording.Number(row.Nominal),
			"", "", "", "", "", "", wording.Number(row.Limits.Lower),
			wording.Number(row.Limits.Upper), "", "", "", row.Note,
		}
		if b := row.Budget(); b != nil {
			// Six digits: more of an effective number of degrees of freedom mean nothing.
			dof := "infinite"
			if !math.IsInf(b.DOF, 1) {
				dof = wording.Number(wording.Rounded(b.DOF, 6))
			}
			copy(line[5:], []string{wording.Number(row.Measured.Estimate()),
				wording.Number(b.Estimate), wording.Number(b.StandardUncertainty), dof,
				wording.Number(row.Expanded.K), wording.Number(row.Expanded.U)})
		}
		if !math.IsNaN(row.UncertaintyRatio) {
			line[13] = wording.Number(row.UncertaintyRatio)
		}
		if row.Judged {
			line[14], line[15] = wording.Number(row.Probability), row.Verdict.String()
		}
		rows = append(rows, line)
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// jsonReport and the types after it are the shape of the file, in the order of its keys; see
// examples/formats/README.md. A pointer is a number that may not exist: NaN and infinities have
// no JSON, and 0 would be a value. Each sentence is written beside the figures that it is made
// of, so that a page shows it without wording of its own.
type jsonReport struct {
	Box         jsonName         `json:"box"`
	Meter       *Meter           `json:"meter"`
	Rule        jsonRule         `json:"decisionRule"`
	Class       jsonClass        `json:"class"`
	Verdict     string           `json:"verdict"`
	Judged      []jsonJudged     `json:"judged"`
	Implausible []jsonFinding    `json:"implausible,omitempty"`
	Findings    []jsonFinding    `json:"findings"`
	ClassMet    []jsonMet        `json:"classMet,omitempty"`
	MeterErrors []jsonMeterError `json:"meterErrors,omitempty"`
	Common      []jsonCommon     `json:"common,omitempty"`
	Shared      []jsonShared     `json:"sharedErrors,omitempty"`
	Compared    []jsonCompared   `json:"compared,omitempty"`
	Rows        []jsonRow        `json:"rows"`
	Notes       []string         `json:"notes"`
	Warnings    []string         `json:"warnings,omitempty"`
}

// jsonName names the box.
type jsonName struct {
	Name   string `json:"name"`
	Serial string `json:"serial,omitempty"`
}

// jsonRule is the decision rule in words and in its figures: the guard band as a multiple of U
// where the rule has one, the risk as a probability, the smallest U of a laboratory in ohms.
type jsonRule struct {
	Text     string              `json:"text"`
	Kind     conformity.RuleKind `json:"kind"`
	Multiple *float64            `json:"guardBandOverU,omitempty"`
	Risk     float64             `json:"risk,omitempty"`
	Prior    *jsonPrior          `json:"prior,omitempty"`
	Coverage float64             `json:"coverageProbability"`
	Smallest float64             `json:"smallestU,omitempty"`
}

// jsonClass is the class of the box: in words, and of each dial with its tolerance as a fraction
// and its constant part in ohms.
type jsonClass struct {
	Text  string     `json:"text"`
	Unit  string     `json:"unit"`
	Dials []jsonDial `json:"dials"`
}

// jsonJudged is a [Headline]; its fields are in the same order, so that one converts to the other.
type jsonJudged struct {
	Stage    Stage    `json:"stage"`
	Judged   int      `json:"settings"`
	Planned  int      `json:"fullPlan"`
	OfPlan   int      `json:"ofFullPlan"`
	Withheld int      `json:"withheld,omitempty"`
	NotRead  []string `json:"dialsNotRead,omitempty"`
}

// jsonPrior is in units of the limits: mean 0.2 and standard deviation 0.5 of a limit of ±10 mΩ
// are 2 mΩ and 5 mΩ.
type jsonPrior struct {
	Mean   float64 `json:"mean"`
	StdDev float64 `json:"standardDeviation"`
}

// jsonRule is the rule as it is written.
func (r *Report) jsonRule() jsonRule {
	out := jsonRule{Text: r.Rule.String(), Kind: r.Rule.Kind, Risk: r.Rule.Risk,
		Coverage: cmp.Or(r.Rule.Coverage, 0.95), Smallest: r.Rule.Smallest}
	switch r.Rule.Kind {
	case conformity.RuleGuardBand, conformity.RuleGuardedRejection:
		out.Multiple = &r.Rule.Multiple
	}
	if p := r.Rule.Prior; p != nil {
		out.Prior = &jsonPrior{p.Mean(), p.StdDev()}
	}
	return out
}

// jsonDial is the class of a dial: the tolerance as a fraction of what the level says, the floor in
// ohms.
type jsonDial struct {
	Name      string       `json:"name"`
	Tolerance float64      `json:"tolerance"`
	Floor     float64      `json:"floor,omitempty"`
	Level     decade.Level `json:"level"`
}

// jsonClass is the class as it is written.
func (r *Report) jsonClass() jsonClass {
	out := jsonClass{Text: r.classText(), Unit: "Ω"}
	for _, d := range r.Box.Decades() {
		out.Dials = append(out.Dials, jsonDial{d.Name, d.Tolerance, d.Floor, d.Spread})
	}
	return out
}

// jsonCommon is a [Common]: shift and what explains it are fractions.
type jsonCommon struct {
	Stage       Stage       `json:"stage"`
	Scope       CommonScope `json:"scope"`
	Range       string      `json:"range,omitempty"`
	From        string      `json:"fromRange,omitempty"`
	Dial        string      `json:"dial,omitempty"`
	Values      int         `json:"values"`
	Shift       float64     `json:"shift"`
	U           float64     `json:"expandedUncertainty"`
	Meter       float64     `json:"meter"`
	Temperature float64     `json:"temperature"`
	Box         float64     `json:"class"`
	Rules       bool        `json:"rules,omitempty"`
	Text        string      `json:"text"`
}

// jsonShared is a [SharedError]: results near their limits, with the correlation of the first two.
type jsonShared struct {
	Stage       Stage    `json:"stage"`
	Range       string   `json:"range"`
	Settings    []string `json:"settings"`
	Correlation float64  `json:"correlation"`
	Text        string   `json:"text"`
}

// jsonCompared is a [Comparison] of the settings a and b: figures in ohms, the difference that of a
// less b. Where one of the statements at its end does not hold, the key is left out.
type jsonCompared struct {
	Stage      Stage   `json:"stage"`
	A          string  `json:"a"`
	B          string  `json:"b"`
	Nominal    float64 `json:"nominal"`
	Difference float64 `json:"difference"`
	U          float64 `json:"expandedUncertainty"`
	NotBoth    bool    `json:"notBothInClass,omitempty"`
	AFollows   bool    `json:"aFollowsFromB,omitempty"`
	BFollows   bool    `json:"bFollowsFromA,omitempty"`
	Text       string  `json:"text"`
}

// jsonMeterError is a [MeterError]: figures in ohms, the error that of the reading less the value
// of the standard, outside where it exceeds the limit by more than its uncertainty.
type jsonMeterError struct {
	Standard string  `json:"standard"`
	Range    string  `json:"range"`
	Session  string  `json:"session,omitempty"`
	Reading  float64 `json:"reading"`
	Error    float64 `json:"error"`
	U        float64 `json:"expandedUncertainty"`
	Limit    float64 `json:"limit"`
	Outside  bool    `json:"outside,omitempty"`
	Text     string  `json:"text"`
}

// addShared fills in what readings share, and what comparisons and standards say. The values of
// each struct stand in the order of its fields.
func (r *Report) addShared(out *jsonReport) {
	for _, m := range r.MeterErrors {
		out.MeterErrors = append(out.MeterErrors, jsonMeterError{m.Standard, m.Range, m.Session,
			m.Reading, m.Error, m.U, m.Limit, m.Outside(), m.String()})
	}
	for _, c := range r.Common {
		out.Common = append(out.Common, jsonCommon{c.Stage, c.Scope, c.Range, c.From, c.Name,
			c.Values, c.Shift, c.U, c.Meter, c.Temperature, c.Box, c.Rules, c.String()})
	}
	for _, x := range r.Shared {
		out.Shared = append(out.Shared, jsonShared{x.Stage, x.Range, x.Settings, x.Correlation,
			x.String()})
	}
	for _, c := range r.Compared {
		out.Compared = append(out.Compared, jsonCompared{c.Stage, c.A.String(), c.B.String(),
			c.Nominal, c.Budget.Estimate, c.Expanded.U, c.NotBoth, c.AFollows, c.BFollows,
			c.String()})
	}
}

// jsonMet is a [ClassMet]: tolerances are fractions, and those of an open circuit are left out.
type jsonMet struct {
	Stage    Stage    `json:"stage"`
	Dial     string   `json:"dial,omitempty"`
	Stated   float64  `json:"stated"`
	Exact    *float64 `json:"exact,omitempty"`
	Series   *float64 `json:"series,omitempty"`
	Settings int      `json:"settings"`
	Decisive string   `json:"decisive"`
	Text     string   `json:"text"`
}

// json is the class met as it is written; what is infinite has no number.
func (c ClassMet) json() jsonMet {
	out := jsonMet{Stage: c.Stage, Stated: c.Stated, Settings: c.Settings,
		Decisive: c.Decisive.String(), Text: c.String()}
	if c.Dial >= 0 {
		out.Dial = c.Name
	}
	if !math.IsInf(c.Exact, 1) {
		out.Exact, out.Series = &c.Exact, &c.Series
	}
	return out
}

// jsonFinding is a [Finding]: figures in ohms, rows counted from 1, as a person counts the lines
// of the table of settings.
type jsonFinding struct {
	Kind     FindingKind `json:"kind"`
	Stage    Stage       `json:"stage"`
	Settings []string    `json:"settings"`
	Rows     []int       `json:"rows"`
	Dial     string      `json:"dial,omitempty"`
	Position int         `json:"position,omitempty"`
	Value    float64     `json:"value,omitempty"`
	U        float64     `json:"expandedUncertainty,omitempty"`
	Limit    float64     `json:"limit,omitempty"`
	Text     string      `json:"text"`
}

// jsonFindings are findings as they are written, with rows counted from 1.
func (r *Report) jsonFindings(findings []Finding) []jsonFinding {
	out := make([]jsonFinding, 0, len(findings))
	for _, f := range findings {
		j := jsonFinding{Kind: f.Kind, Stage: f.Stage, Position: f.Position, Value: f.Value, U: f.U,
			Limit: f.Limit, Text: f.String()}
		if f.Dial >= 0 {
			j.Dial = r.dialName(f.Dial)
		}
		for _, s := range f.Settings {
			j.Settings = append(j.Settings, s.String())
		}
		for _, i := range f.Rows {
			j.Rows = append(j.Rows, i+1)
		}
		out = append(out, j)
	}
	return out
}

// jsonRow is a [Row]: resistances in ohms, limits those of the deviation, whose budget is under
// the key deviation.
type jsonRow struct {
	Stage       string                `json:"stage"`
	Setting     string                `json:"setting"`
	Dialling    int                   `json:"dialling"`
	Range       string                `json:"range"`
	Nominal     float64               `json:"nominal"`
	Measured    *float64              `json:"measured,omitempty"`
	Overload    bool                  `json:"aboveRange,omitempty"`
	Open        bool                  `json:"open,omitempty"`
	Limits      *uncertainty.Interval `json:"limits,omitempty"`
	U           *float64              `json:"expandedUncertainty,omitempty"`
	Ratio       *float64              `json:"testUncertaintyRatio,omitempty"`
	Probability *float64              `json:"probabilityOfConformity,omitempty"`
	Verdict     string                `json:"verdict,omitempty"`
	Withheld    bool                  `json:"withheld,omitempty"`
	Note        string                `json:"note,omitempty"`
	Budget      *uncertainty.Budget   `json:"deviation,omitempty"`
}

// MarshalJSON writes the whole report: rule, findings, rows with their budgets, notes
// and warnings. Resistances are in ohms. examples/formats/README.md lists the keys.
func (r *Report) MarshalJSON() ([]byte, error) {
	r = cmp.Or(r, &Report{})
	out := jsonReport{
		Box: jsonName{r.Box.Name(), r.Box.Serial()}, Meter: &r.Meter,
		Rule:    r.jsonRule(),
		Class:   r.jsonClass(),
		Verdict: r.Verdict().String(), Implausible: r.jsonFindings(r.Implausible),
		Findings: r.jsonFindings(r.Findings), Rows: []jsonRow{}, Notes: r.notesAndColumns(),
		Warnings: r.warningTexts(),
	}
	// One for each stage that was read; a page shows the last.
	for _, stage := range r.Stages() {
		out.Judged = append(out.Judged, jsonJudged(r.Headline(stage)))
	}
	r.addShared(&out)
	for _, c := range r.ClassMet {
		out.ClassMet = append(out.ClassMet, c.json())
	}
	for i := range r.Rows {
		out.Rows = append(out.Rows, r.Rows[i].json())
	}
	return json.Marshal(out)
}

// json is the row as it is written: without a value there is no measured, no U and no budget, and
// without a verdict no limits, which would suggest one.
func (row *Row) json() jsonRow {
	out := jsonRow{
		Stage: row.Reading.Stage.String(), Setting: row.Setting.String(),
		Dialling: row.Reading.Dialling, Range: row.Range,
		Nominal: row.Nominal, Overload: row.Overload, Open: row.Open, Withheld: row.Withheld,
		Note: row.Note, Budget: row.Budget(),
	}
	if !row.Overload {
		out.Measured, out.U = new(row.Measured.Estimate()), new(row.Expanded.U)
	}
	if !math.IsNaN(row.UncertaintyRatio) && !math.IsInf(row.UncertaintyRatio, 0) {
		out.Ratio = &row.UncertaintyRatio
	}
	if row.Judged {
		out.Limits, out.Probability = &row.Limits, &row.Probability
		out.Verdict = row.Verdict.String()
	}
	return out
}
