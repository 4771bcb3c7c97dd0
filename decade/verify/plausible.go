// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Before anything is judged, this file looks for what no box and no meter can show: slips of the
// pen, lost units, exchanged rows, a null of another kind than is stated. A verdict on such a
// value would blame the box for the record. Each kind has thresholds wide enough that a faulty
// box is not taken for a slip: what a fault can do is left to the findings.
//
// Of a box of 100 Ω, 10 Ω and 1 Ω dials, class 0.1 %, residual 20 mΩ, these are slips:
//
//	box at 296.2 °C                   temperature: 23 °C in kelvins
//	3-0-0: 300.01, 300.02, 3000.1     contradiction: a point that slipped
//	1-0-0: 0.10002                    unit lost: kΩ read for Ω
//	0-3-0: 40.01, 0-4-0: 30.02        swapped rows
//	0-0-0: 0.021 after a null there   null: it was taken with the leads joined
//	0-0-1: −1.02                      negative: leads of the potential reversed
//
// and these are not, since a fault can do the same: 1-0-0 at 0.02 (its elements are shorted, and
// what is left is the zero setting), 4-0-0 at 300.01 (a step is shorted), 0-0-0 at 0.4 (dirt).
//
// The kinds are looked for in an order: values in the wrong unit could look exchanged, and an
// exchanged zero like that of a wrong null. Rows that have a finding are out of all that
// follows, so that a row is reported once.

// The bounds of what is plausible.
const (
	coldest, warmest = 5.0, 50.0 // °C, of a room in which resistors are read

	// contradicting is how many standard deviations values of one dialling may lie apart.
	contradicting = 10

	// doubtless is how many U a reading must be beyond what is possible to be called a slip: the
	// rectangle of a meter's limits ends at 1.05·U, so that a sound reading has no finding, where
	// at 1·U one zero in forty would have.
	doubtless = 1.5

	// negligible is the part of a limit below which an error of the zero does not matter for
	// a verdict (common practice: a tenth).
	negligible = 0.1
)

// plausibility marks rows that cannot be of a box, before anything is judged. Rows of the
// report, values (what was shown, in Ω, 0 of an overload) and readings of e have one index.
type plausibility struct {
	*Report
	e      *evaluation
	values []float64 // Ω, what was shown, by row
	out    []Finding
}

// checkPlausibility fills Implausible and withholds what rests on it. A row is part of one finding
// at most, the first in the order of the kinds.
func (r *Report) checkPlausibility(e *evaluation) {
	p := &plausibility{Report: r, e: e, values: e.shown}
	// Stages apart: what was adjusted between them is not exchanged or contradicted.
	for _, stage := range r.Stages() {
		// The order decides: a row with two slips is reported for the first.
		p.findTemperatures(stage)
		p.findContradictions(stage)
		p.findWrongUnits(stage)
		p.findSwaps(stage)
		p.findWrongNulls(stage)
		p.findNegatives(stage)
		p.withholdForZeros(stage)
	}
	r.Implausible = p.out
}

// rowsWithValue lists the rows of a stage that have a value and are not withheld so far.
func (p *plausibility) rowsWithValue(stage Stage) []int {
	var out []int
	for i := range p.Rows {
		if row := &p.Rows[i]; row.Reading.Stage == stage && !row.Overload && !row.Withheld {
			out = append(out, i)
		}
	}
	return out
}

// addFinding adds a finding and withholds its rows; none, if there are no rows. Most findings
// also discard the values, for causes and fits as for verdicts.
func (p *plausibility) addFinding(kind FindingKind, stage Stage, rows []int, format string,
	args ...any) {
	if len(rows) == 0 {
		return
	}
	f := Finding{Kind: kind, Stage: stage, Rows: slices.Clone(rows), Dial: -1,
		text: fmt.Sprintf(format, args...)}
	for _, i := range rows {
		row := &p.Rows[i]
		row.withhold("not plausible (" + kind.String() + ")")
		// An exchange can be one inside the box, and a zero can be right under a wrong null.
		row.Discarded = kind != FindingSwapped && kind != FindingNull
		if !slices.Contains(f.Settings, row.Setting) {
			f.Settings = append(f.Settings, row.Setting)
		}
	}
	p.out = append(p.out, f)
}

// withhold takes the verdict of a row away, and says why.
func (row *Row) withhold(why string) {
	row.Withheld, row.Judged = true, false
	row.Note = "withheld: " + why
}

// places names rows by their settings, with the line of the file where there is one: up to six,
// since a list of sixty would hide the sentence, and how many more there are.
func (p *plausibility) places(rows []int) string {
	const most = 6
	var words []string
	for k, i := range rows {
		if k == most {
			return wording.List(words) + fmt.Sprintf(" and %d more", len(rows)-most)
		}
		words = append(words, p.placeOf(i))
	}
	return wording.List(words)
}

// placeOf names a row.
func (p *plausibility) placeOf(i int) string {
	rd := &p.Rows[i].Reading
	if rd.Line > 0 {
		return fmt.Sprintf("%s (line %d)", rd.Label(), rd.Line)
	}
	return rd.Label()
}

// expected is what the meter should show at a row, in Ω: nominal and residual, or nominal alone
// after a null with the box at zero.
func (p *plausibility) expected(i int) float64 {
	return expectedAt(&p.Meter, p.Rows[i].Setting)
}

// findTemperatures finds those that no room has, of the box or of the meter. All rows of one
// such temperature are named together: a column in °F is one slip, not sixty. A temperature
// enters every correction, so that a verdict at 73 °C instead of 23 °C would rest on 50 K that
// nobody measured.
func (p *plausibility) findTemperatures(stage Stage) {
	type group struct {
		what string
		t    float64
	}
	var order []group
	found := make(map[group][]int)
	for i := range p.Rows {
		row := &p.Rows[i]
		if row.Reading.Stage != stage || row.Overload {
			continue
		}
		for k, t := range []*float64{row.Reading.Temperature, row.Reading.MeterTemperature} {
			if t == nil || *t >= coldest && *t <= warmest {
				continue
			}
			g := group{[]string{"box", "meter"}[k], *t}
			if found[g] == nil {
				order = append(order, g)
			}
			found[g] = append(found[g], i)
		}
	}
	if len(order) == 0 {
		return
	}
	var all []int
	var texts []string
	// In the order of the record, and in words only the first few.
	for k, g := range order {
		all = append(all, found[g]...)
		if k < fewSteps {
			texts = append(texts, fmt.Sprintf("the %s at %s °C%s in %s", g.what,
				wording.Number(g.t), temperatureSlip(g.t),
				wording.Plural(len(found[g]), "reading")))
		}
	}
	if n := len(order) - fewSteps; n > 0 {
		texts = append(texts, fmt.Sprintf("%d more temperatures", n))
	}
	slices.Sort(all)
	all = slices.Compact(all)
	p.addFinding(FindingTemperature, stage, all,
		"Temperature outside %g °C to %g °C: %s: %s. Correct the record, or read again at room "+
			"temperature.",
		coldest, warmest, strings.Join(texts, ", "), p.places(all))
}

// temperatureSlip is what may have been meant, in parentheses behind a temperature in °C, or
// nothing:
//
//	296.15   23 °C, written in K
//	73.4     23 °C, written in °F
//	231      23.1 °C, its decimal mark lost
//
// Only what leads to a room is named. The order is that of likelihood: 296 could also be 29.6 °C
// without its mark, and is far likelier in kelvins.
func temperatureSlip(t float64) string {
	const lowest, highest = 15, 35 // °C, of a room in which somebody reads a meter
	room := func(t float64) bool { return t >= lowest && t <= highest }
	tenths := func(t float64) string { return wording.Number(math.Round(10*t) / 10) }
	switch fromKelvin, fromFahrenheit := t-273.15, (t-32)/1.8; {
	case room(fromKelvin):
		return fmt.Sprintf(" (%s °C, written in K?)", tenths(fromKelvin))
	case room(fromFahrenheit):
		return fmt.Sprintf(" (%s °C, written in °F?)", tenths(fromFahrenheit))
	case room(t / 10):
		return fmt.Sprintf(" (%s °C, its decimal mark lost?)",
			wording.Number(wording.Rounded(t/10, 4)))
	}
	return ""
}

// findContradictions finds diallings whose own values lie too far apart to be averaged. They
// were found before the evaluation (evaluation.contradicting), which pools no scatter of theirs.
func (p *plausibility) findContradictions(stage Stage) {
	var rows []int
	var texts []string
	for _, i := range p.rowsWithValue(stage) {
		if !p.e.contradicting[i] {
			continue
		}
		// Found again for its figures; that there is one is known.
		c, _ := p.e.contradiction(i)
		rows = append(rows, i)
		texts = append(texts, fmt.Sprintf("%s: %s to %s, where scatter explains %s",
			p.placeOf(i), unit.Format(c.low, unit.Ohm), unit.Format(c.high, unit.Ohm),
			wording.Ohms(c.allowed)))
	}
	p.addFinding(FindingContradiction, stage, rows,
		"Values of one dialling contradict each other at %s. A value of another setting, a lost "+
			"digit, or a reading that had not settled? Read again.", wording.Short(texts))
}

// contradiction is the range of the values of one dialling and what scatter explains of it, in
// Ω: low and high are the smallest and the largest value of one polarity, allowed is
// contradicting times the standard deviation of single values.
type contradiction struct{ low, high, allowed float64 }

// contradiction compares the values of reading i with each other. It asks nothing of other
// values of the box, so that it can come before all evaluation.
func (e *evaluation) contradiction(i int) (c contradiction, found bool) {
	rd, rg := &e.readings[i], e.ranges[i]
	// Polarities apart: a thermal EMF moves one up and the other down, which is no
	// contradiction.
	for _, values := range [][]float64{rd.Values, rd.Reversed} {
		if len(values) < 2 {
			continue
		}
		// Values in a wrong unit scatter by as much more or less.
		factor := e.unitSlip(rd)
		c = contradiction{slices.Min(values), slices.Max(values),
			factor * contradicting * e.scatterAllowed(i)}
		class := classOf(rd.Setting)
		// Nothing stated to compare with: only what the meter cannot have shown is a
		// contradiction.
		unknown := c.allowed == 0 && class == 0 && c.high <= rg.Reach()
		// More than scatter explains and more than the class: a difference inside the class
		// changes no verdict on the setting, whatever made it.
		if c.high-c.low > max(c.allowed, factor*class) && !unknown {
			return c, true
		}
	}
	return c, false
}

// unitSlip is the factor by which all values of a dialling are off as by a wrong unit, 1 where
// there is none: 0.001 for 0.10002 and 0.10003 at 100 Ω. Their scatter is off by the same factor.
func (e *evaluation) unitSlip(rd *Reading) float64 {
	values := slices.Concat(rd.Values, rd.Reversed)
	for _, factor := range lostUnits {
		if len(values) > 0 && !slices.ContainsFunc(values, func(v float64) bool {
			return !e.meter.unitLost(rd.Setting, v, factor, unitOfDial)
		}) {
			return factor
		}
	}
	return 1
}

// classOf is the width of what the class allows at a setting, in Ω; 0: nothing stated.
func classOf(s decade.Setting) float64 {
	if s.AllZero() {
		return s.Box().Residual().Width()
	}
	return s.ClassLimit()
}

// classOf is that of the setting of row i.
func (p *plausibility) classOf(i int) float64 { return classOf(p.Rows[i].Setting) }

// scatterAllowed is the standard deviation of single values of reading i, in Ω: noise of the
// range, display, contacts.
func (e *evaluation) scatterAllowed(i int) float64 {
	contacts := float64(e.readings[i].Setting.Contacts())
	contact := e.spec.Contact * math.Sqrt(contacts)
	return math.Sqrt(square(e.noise(i)) + square(e.ranges[i].Resolution) + square(contact))
}

// square is x², rounded once: the conversion keeps a compiler from fusing the product with a
// sum, so that results have the same bits on all processors.
func square(x float64) float64 { return float64(x * x) }

// noise is the stated one, or the median standard deviation of the other diallings on the range
// of reading i: one wrong value does not move it. It is 0 where no other was repeated.
func (e *evaluation) noise(i int) float64 {
	if stated := e.ranges[i].Noise; stated > 0 {
		return stated
	}
	list := e.deviations(group{e.readings[i].Session, e.ranges[i].Name})
	// Reading i must not vouch for itself: with it alone its wrong value would be what scatter
	// explains.
	// The median, or the next below it where the median is the row's own.
	for k := (len(list)+1)/2 - 1; k >= 0; k-- {
		if list[k].row != i {
			return list[k].sd
		}
	}
	for _, s := range list {
		if s.row != i {
			return s.sd
		}
	}
	return 0
}

// spread is the standard deviation of the repeats of one row, in Ω, of one polarity. A row with
// repeats in both has two.
type spread struct {
	row int
	sd  float64
}

// deviations lists those of a range and session, smallest first. They are computed once.
func (e *evaluation) deviations(g group) []spread {
	// Once for all groups: asked for each reading, they would cost the square of the readings.
	if e.spreads == nil {
		e.spreads = make(map[group][]spread)
		for i := range e.readings {
			rd := &e.readings[i]
			at := group{rd.Session, e.ranges[i].Name}
			for _, values := range [][]float64{rd.Values, rd.Reversed} {
				if len(values) < 2 {
					continue
				}
				if _, sd, err := uncertainty.MeanStdDev(values); err == nil {
					e.spreads[at] = append(e.spreads[at], spread{i, sd})
				}
			}
		}
		for _, list := range e.spreads {
			slices.SortFunc(list, func(a, b spread) int {
				switch {
				case a.sd < b.sd:
					return -1
				case a.sd > b.sd:
					return 1
				}
				// Of equal ones in the order of the record: a display that shows the same values
				// twice makes many.
				return a.row - b.row
			})
		}
	}
	return e.spreads[g]
}

// expectedAt is what the meter should show at a setting, in Ω.
func expectedAt(m *Meter, s decade.Setting) float64 {
	if m.Leads.Null == NullBoxAtZero {
		return s.Nominal()
	}
	return s.Value()
}

// lostUnits are the factors of a value with a wrong unit: kΩ for Ω or Ω for mΩ, the reverse, and
// two prefixes (MΩ for Ω).
var lostUnits = []float64{1e-3, 1e3, 1e-6, 1e6}

// The parts of a value by which it may differ from what a lost unit makes of it: of a single
// row less, since much else can be wrong with it.
const (
	// Of a whole dial or dialling: 10 %, since several rows agree, and a faulty dial that is off
	// by 10 % beside its lost unit should still be seen.
	unitOfDial = 0.1
	// Of a single row: 1 %. A contact that leaves 950 Ω at 1 Ω is no lost unit.
	unitOfRow = 0.01
)

// unitLost reports whether a value in Ω is off by a factor at a setting, within a part of itself
// or three times the class: at 100 Ω and the factor 0.001, whether 1000 times the value is
// within 10 Ω (part 0.1) of 100 Ω and the residual. At zero no factor changes what is expected.
func (m *Meter) unitLost(s decade.Setting, value, factor, part float64) bool {
	x := expectedAt(m, s)
	return !s.AllZero() && math.Abs(value/factor-x) <= max(part*x, 3*s.ClassLimit())
}

// rangeOfSlip returns the range that shows a value above all ranges once its unit is set right:
// what no meter can have shown is a recording error, and no reason to stop. 100020 at 100 Ω, with
// a meter up to 12 kΩ, is 100.02 Ω on the range of 1 kΩ. Only factors above 1 make a value too
// large to show.
func (m *Meter) rangeOfSlip(rd *Reading, largest float64) (*Range, bool) {
	if !rd.Setting.IsValid() {
		return nil, false
	}
	for _, factor := range lostUnits {
		if factor < 1 || !m.unitLost(rd.Setting, largest, factor, unitOfDial) {
			continue
		}
		// As it would have been chosen for the value that was meant.
		if rg := m.smallestFor(largest / factor); rg != nil {
			return rg, true
		}
	}
	return nil, false
}

// shorted reports whether a row reads what is left where its elements are shorted: the zero
// setting. That is a fault as likely as a lost unit.
func (p *plausibility) shorted(i int) bool {
	row := &p.Rows[i]
	z, _ := p.e.zero(&row.Reading)
	zero := z.estimate()
	if p.Meter.Leads.Null == NullBoxAtZero {
		zero = 0
	}
	// Within U, half the width of the residual's limits, and half of the zero itself, which is
	// no better known than the contacts that make it.
	return math.Abs(p.values[i]-zero) <= row.Expanded.U+p.Box.Residual().Width()/2+math.Abs(zero)/2
}

// findWrongUnits finds values that are off by a factor of 1000 or a million, of a whole dial or
// of a row. A dial is looked at first: its rows agree with each other, so that less is asked of
// each.
func (p *plausibility) findWrongUnits(stage Stage) {
	rows := p.rowsWithValue(stage)
	for _, power := range lostUnits {
		near := func(i int, part float64) bool {
			return p.Meter.unitLost(p.Rows[i].Setting, p.values[i], power, part)
		}
		found, dials := p.dialsInWrongUnit(rows, near)
		for _, i := range rows {
			part := unitOfRow
			if p.values[i] > p.e.ranges[i].Reach() {
				part = unitOfDial // what the meter cannot have shown
			}
			if near(i, part) && !p.shorted(i) && !slices.Contains(found, i) {
				found = append(found, i)
			}
		}
		slices.Sort(found)
		which := ""
		if len(dials) > 0 {
			which = " (all of " + wording.List(dials) + ")"
		}
		how, meant := "small", "kΩ written as Ω, or Ω as mΩ"
		factor := 1 / power
		if power > 1 {
			how, meant, factor = "large", "Ω written as kΩ, or mΩ as Ω", power
		}
		p.addFinding(FindingUnitLost, stage, found,
			"%s %s times too %s%s: %s. A unit lost, %s? Correct the record.",
			wording.Plural(len(found), "value"), wording.Number(factor), how, which,
			p.places(found), meant)
		// Without those just found: a row has one factor.
		rows = p.rowsWithValue(stage)
	}
}

// dialsInWrongUnit finds the dials all of whose rows are off by one factor, and these rows. A
// dial of which one row alone was read says too little, and one whose rows all read what is left
// where elements are shorted has another cause: 20 mΩ at every position of a 10 Ω dial is a dead
// short across it, and at position 2 near 20 Ω written in kΩ as well.
func (p *plausibility) dialsInWrongUnit(rows []int,
	near func(i int, part float64) bool) (found []int, dials []string) {
	for d := range p.Box.NumDecades() {
		var own []int
		whole, more := true, false
		for _, i := range rows {
			if at, _ := onlyDialOffZero(p.Rows[i].Setting); at == d {
				own = append(own, i)
				whole = whole && near(i, unitOfDial)
				// One row that is not the residual tells the unit from the short.
				more = more || whole && !p.shorted(i)
			}
		}
		if whole && more && len(own) > 1 {
			found = append(found, own...)
			dials = append(dials, "the "+p.dialName(d)+" dial")
		}
	}
	return found, dials
}

// findSwaps finds two rows, each with the value of the other: those that follow each other, in
// the record or on a dial, before others, since people exchange neighbours. A second dialling
// that gives the same value again is no slip. Cost: the rows, and the square of those far off,
// up to mostSwapped of them.
func (p *plausibility) findSwaps(stage Stage) {
	rows := p.rowsWithValue(stage)
	x := exchanges{plausibility: p}
	x.compareNeighbours(stage, rows)
	// Of very many rows that are off none is a slip.
	if far := p.rowsFarOff(rows); len(far) <= mostSwapped {
		for k, i := range far {
			for _, j := range far[k+1:] {
				x.comparePair(i, j)
			}
		}
	}
	slices.Sort(x.rows)
	p.addFinding(FindingSwapped, stage, x.rows, "Values exchanged: %s have each other's values. "+
		"Two lines or two settings swapped? Read both again.", wording.Short(x.texts))
	for _, i := range x.useless {
		p.Rows[i].Discarded = true
	}
}

// exchanges collects the pairs of rows that have each other's values.
type exchanges struct {
	*plausibility
	rows []int // both of each pair, one pair behind the other until they are sorted
	// Those of pairs that no exchange of wires inside a box can have made: not of one dial, or
	// gone when a setting was dialled again.
	useless []int
	texts   []string
}

// compareNeighbours compares each row that does not fit its setting with the next row of the
// record and with the next position of its dial.
func (x *exchanges) compareNeighbours(stage Stage, rows []int) {
	byPlace := make(map[place]int) // of several diallings the last
	for _, i := range rows {
		if d, at := onlyDialOffZero(x.Rows[i].Setting); d >= 0 {
			byPlace[place{stage, d, at}] = i
		}
	}
	for k, i := range rows {
		// A value that fits its own setting is not exchanged.
		if x.valueFits(i, i, 1) {
			continue
		}
		if k+1 < len(rows) {
			x.comparePair(i, rows[k+1])
		}
		if d, at := onlyDialOffZero(x.Rows[i].Setting); d >= 0 {
			if j, ok := byPlace[place{stage, d, at + 1}]; ok {
				x.comparePair(i, j)
			}
		}
	}
}

// comparePair adds two rows that have each other's values, unless one of them is in a pair
// already.
func (x *exchanges) comparePair(i, j int) {
	if slices.Contains(x.rows, i) || slices.Contains(x.rows, j) || !x.swapped(i, j) ||
		x.confirmed(i) || x.confirmed(j) {
		return
	}
	x.rows = append(x.rows, i, j)
	x.texts = append(x.texts, x.placeOf(i)+" and "+x.placeOf(j))
	di, _ := onlyDialOffZero(x.Rows[i].Setting)
	dj, _ := onlyDialOffZero(x.Rows[j].Setting)
	if di != dj || x.dialledAgain(i) || x.dialledAgain(j) {
		x.useless = append(x.useless, i, j)
	}
}

// dialledAgain reports whether there is a value of another dialling of the setting of row i. Asked
// of a row that is not confirmed, it says that no exchange of wires inside the box made its value:
// that would be there at each dialling.
func (x *exchanges) dialledAgain(i int) bool {
	row := &x.Rows[i]
	for k := range x.Rows {
		other := &x.Rows[k]
		if k != i && other.Setting == row.Setting && other.Reading.Stage == row.Reading.Stage &&
			!other.Overload && !other.Withheld {
			return true
		}
	}
	return false
}

// mostSwapped is the number of rows up to which each is compared with each: 4,950 pairs. A box
// with more rows far off is broken, or its readings are of another box.
const mostSwapped = 100

// rowsFarOff lists the rows with a value that is not of their setting.
func (p *plausibility) rowsFarOff(rows []int) []int {
	return slices.DeleteFunc(slices.Clone(rows), func(i int) bool { return p.valueFits(i, i, far) })
}

// far is how many times what class, residual and uncertainty allow a value must be off to be
// that of another setting. At 1 an element that has drifted out of its class would do;
// neighbours of a dial are a whole step apart, which is 1000 times a class of 0.1 %.
const far = 5

// valueFits reports whether the value of row i is that expected at row j, within what class,
// residual and uncertainty allow, times a factor.
func (p *plausibility) valueFits(i, j int, factor float64) bool {
	allowed := p.classOf(j) + p.statedU(j) + p.Box.Residual().Width()/2
	// Without a class 0.1 % of nominal stands for one.
	if p.classOf(j) == 0 {
		allowed += float64(1e-3 * p.Rows[j].Nominal)
	}
	return math.Abs(p.values[i]-p.expected(j)) <= factor*allowed
}

// statedU is U of row i in Ω by what is stated of contacts and noise: a slip among the diallings
// of a setting makes a scatter of its own, in which it would hide. 100.01 and 99.02 at 1-0-0,
// the second of them the value of 0-9-9, have a standard deviation of 0.7 Ω, by which either
// fits both.
func (p *plausibility) statedU(i int) float64 {
	row := &p.Rows[i]
	shown := 0.0
	for _, x := range p.e.values[i].own {
		if x.pool != "" {
			shown += square(x.c * x.u)
		}
	}
	if shown == 0 {
		return row.Expanded.U
	}
	// The variance of the row, less what the diallings show, plus what is stated in its place.
	u := math.Sqrt(max(0, square(row.u)-shown) + square(row.StatedScatter))
	// k = 2 is near enough to what it replaces, for a bound that decides nothing by itself.
	return min(row.Expanded.U, 2*u)
}

// swapped reports whether two rows have each other's values, and neither fits its own setting.
// Settings of one nominal value (1-0 and 0-10) have always each other's, and are not exchanged.
func (p *plausibility) swapped(i, j int) bool {
	return p.valueFits(i, j, 1) && p.valueFits(j, i, 1) && !p.valueFits(i, i, far) &&
		!p.valueFits(j, j, far)
}

// confirmed reports whether another dialling of the setting of row i gives its value: what was
// read twice was not written into the wrong line.
func (p *plausibility) confirmed(i int) bool {
	row := &p.Rows[i]
	for k := range p.Rows {
		other := &p.Rows[k]
		if k != i && other.Setting == row.Setting && other.Reading.Stage == row.Reading.Stage &&
			!other.Overload &&
			math.Abs(p.values[k]-p.values[i]) <= p.classOf(i)+p.statedU(i) {
			return true
		}
	}
	return false
}

// findWrongNulls finds readings at zero that contradict the null, and withholds what rests on
// it. With a residual of 18 mΩ to 22 mΩ:
//
//	null with the box at zero, zero reads 21 mΩ      the null was taken with the leads joined
//	null with the leads joined, zero reads 0.1 mΩ    the null was taken with the box at zero
//	null with the leads joined, zero reads 400 mΩ    plausible: a dirty contact
//	no null                                          nothing to contradict
//
// A confusion of the two leaves the residual in every value or takes it out twice.
func (p *plausibility) findWrongNulls(stage Stage) {
	null := p.Meter.Leads.Null
	if null == NullNone {
		return
	}
	var found []int
	for _, i := range p.rowsWithValue(stage) {
		row := &p.Rows[i]
		if !row.Setting.AllZero() {
			continue
		}
		scatter := float64(contradicting*p.e.scatterAllowed(i)) +
			p.Meter.Leads.NullTolerance
		if null == NullBoxAtZero {
			// After a null at zero the reading is what changed since: scatter, or drift within
			// its limit (VIM 4.28, zero error).
			if math.Abs(p.values[i]) > max(scatter, doubtless*p.statedU(i)) {
				found = append(found, i)
			}
			continue
		}
		// With the leads joined the residual is read. Nothing is what a null at the box leaves.
		// Two conditions: near zero within U or a tenth of the limit, and below the limit by
		// more than U explains. A wide U alone makes no wrong null.
		lower := p.Box.Residual().Lower
		if math.Abs(p.values[i]) <= max(p.statedU(i), negligible*lower) &&
			p.values[i]+float64(doubtless*p.statedU(i)) < lower {
			found = append(found, i)
		}
	}
	if len(found) == 0 {
		return
	}
	if null == NullBoxAtZero {
		p.addFinding(FindingNull, stage, found, "The zero setting reads %s after a null with the "+
			"box at zero: %s. The null taken with the leads joined, at another range, or drifted? "+
			"Take it again.", wording.Ohms(p.farthest(found)), p.places(found))
	} else {
		p.addFinding(FindingNull, stage, found,
			"The zero setting reads %s after a null with the leads joined, where the residual is "+
				"%s or more: %s. The null taken with the box at zero? Take it again.",
			wording.Ohms(p.farthest(found)), unit.Format(p.Box.Residual().Lower, unit.Ohm),
			p.places(found))
	}
	p.withholdDependents(found, stage, "the null is in doubt")
}

// farthest is the value of the rows that is farthest from 0, in Ω, with its sign.
func (p *plausibility) farthest(rows []int) float64 {
	out := 0.0
	for _, i := range rows {
		if math.Abs(p.values[i]) > math.Abs(out) {
			out = p.values[i]
		}
	}
	return out
}

// findNegatives finds values that no resistor has: below zero by more than U. A zero setting
// that reads −0.1 mΩ with U = 0.5 mΩ is an honest reading of almost nothing, and stays.
func (p *plausibility) findNegatives(stage Stage) {
	var found []int
	for _, i := range p.rowsWithValue(stage) {
		if row := &p.Rows[i]; row.Measured.Estimate()+
			float64(doubtless*p.statedU(i)) < 0 {
			found = append(found, i)
		}
	}
	// A null takes all that was in its path off every value.
	slip := "Leads of current or potential reversed, or a sign lost?"
	if p.Meter.Leads.Null != NullNone {
		slip = "Leads reversed, or a null taken with more in the path than the leads?"
	}
	p.addFinding(FindingNegative, stage, found,
		"%s below zero by more than the uncertainty: %s. %s",
		wording.Plural(len(found), "value"), p.places(found), slip)
}

// withholdForZeros withholds what a withheld reading at zero is subtracted from: nothing, in a
// box that includes its residual or after a null with the box at zero.
func (p *plausibility) withholdForZeros(stage Stage) {
	if p.e.spec.ResidualIncluded || p.Meter.Leads.Null == NullBoxAtZero {
		return
	}
	var found []int
	for i := range p.Rows {
		if row := &p.Rows[i]; row.Withheld && row.Setting.AllZero() && row.Reading.Stage == stage &&
			!row.Overload {
			found = append(found, i)
		}
	}
	p.withholdDependents(found, stage, "the zero of its session is in doubt")
}

// withholdDependents withholds the rows of the sessions of some readings at zero whose verdict an
// error of that size could change: an error of 20 mΩ does not matter at 1 MΩ ± 100 Ω, and
// withholding a whole report for it would help nobody.
func (p *plausibility) withholdDependents(zeros []int, stage Stage, why string) {
	for _, z := range zeros {
		session := p.Rows[z].Reading.Session
		// By how much the zero is off is how much every deviation that it is subtracted from is
		// off.
		off := math.Abs(p.values[z] - p.expected(z))
		for i := range p.Rows {
			row := &p.Rows[i]
			if row.Reading.Stage == stage && row.Reading.Session == session && row.Judged &&
				!row.Setting.AllZero() && off > negligible*row.Limits.Upper {
				row.withhold(why)
			}
		}
	}
}

// withheld lists the settings of a stage of which a dialling was withheld, in the order of the
// rows. Who counts those not judged at all asks for their verdict as well: of several diallings
// another may have been judged.
func (r *Report) withheld(stage Stage) []decade.Setting {
	var out []decade.Setting
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Withheld && row.Reading.Stage == stage && !slices.Contains(out, row.Setting) {
			out = append(out, row.Setting)
		}
	}
	return out
}
