// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// By hand: 10 Ω · (0.1 % + 0.05 %) + 2 mΩ + 3 mΩ = 20 mΩ for one step.
func TestLimitOfAnIncrement(t *testing.T) {
	box, err := decade.New(decade.Spec{
		Name: "box", Tolerance: 0.0005, Floor: 0.003,
		Decades: []decade.Decade{{Name: "10 Ω", Step: 10, Tolerance: 0.001, Floor: 0.002}},
	})
	if err != nil {
		t.Fatal(err)
	}
	r := evaluated(t, box, fourWire(),
		read(t, box, map[string]float64{"0": 0, "1": 10.001, "2": 20.003}), conformity.Guarded(1))
	if len(r.Increments) != 2 {
		t.Fatalf("%d increments; want 2", len(r.Increments))
	}
	for k, want := range []float64{0.001, 0.002} {
		i := r.Increments[k]
		if math.Abs(i.Limit-0.02) > 1e-15 || math.Abs(i.Budget.Estimate-want) > 1e-12 ||
			i.Nominal != 10 || i.Position != k+1 {
			t.Errorf("step %d: limit %v, deviation %v, nominal %v; want 0.02, %v, 10", i.Position,
				i.Limit, i.Budget.Estimate, i.Nominal, want)
		}
	}
	for _, c := range []struct {
		estimate, U float64
		want        bool
	}{{1.5, 0.4, true}, {-1.5, 0.4, true}, {1.5, 0.5, false}, {1.5, 0.6, false}, {-1.5, 0.6, false}, {0.9, 0.2, false}} {
		i := Increment{Limit: 1,
			Budget: &uncertainty.Budget{Estimate: c.estimate,
				Expanded: uncertainty.Expanded{U: c.U}}}
		if i.Outside() != c.want {
			t.Errorf("%v ± %v with a limit of 1: outside %v; want %v", c.estimate, c.U, i.Outside(), c.want)
		}
	}
}

// What was not stated is warned of where it matters, and nowhere else.
func TestWarningsOfWhatIsMissing(t *testing.T) {
	plain := oneDial(t)
	spec := plain.Spec()
	spec.Contact = 0.001
	contact, err := decade.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	const (
		leads     = "two-wire without a null"
		switching = "no setting was dialled twice"
		emf       = "with one polarity"
		band      = "without the temperature of the meter"
		class     = "out of its class as found"
	)
	all := []string{leads, switching, emf, band, class}
	normal := func(*Meter) {}
	again := func(rs []Reading) []Reading {
		twice := rs[3]
		twice.Dialling = 2
		return append(rs, twice)
	}
	same := func(rs []Reading) []Reading { return rs }
	for _, c := range []struct {
		name     string
		box      *decade.Box
		meter    func(*Meter)
		readings func([]Reading) []Reading
		want     []string
	}{
		{"four-wire, each setting once", plain, normal, same, []string{switching}},
		{"one setting twice", plain, normal, again, nil},
		{"switching stated", contact, normal, same, nil},
		{"two-wire", plain, func(m *Meter) { m.Wiring = WiringTwoWire }, again, []string{leads}},
		{"two-wire, leads stated", plain, func(m *Meter) { m.Wiring, m.Leads.Resistance = WiringTwoWire, 1e-6 }, again, nil},
		{"two-wire, null", plain, func(m *Meter) { m.Wiring, m.Leads.Null = WiringTwoWire, NullLeadsJoined }, again, nil},
		{"EMF not stated", plain, func(m *Meter) { m.OffsetCompensated = false }, again, []string{emf}},
		{"EMF stated", plain, func(m *Meter) { m.OffsetCompensated, m.ThermalEMF = false, 1e-6 }, again, nil},
		{"range above 1 kΩ", plain, func(m *Meter) { m.OffsetCompensated, m.Ranges[0].FullScale = false, 1001 }, again, nil},
		{"both polarities", plain, func(m *Meter) { m.OffsetCompensated = false }, func(rs []Reading) []Reading {
			rs = again(rs)
			for i := range rs {
				rs[i].Reversed = rs[i].Values
			}
			return rs
		}, nil},
		{"band of the meter, of reading", plain, func(m *Meter) { m.Ranges[0].OfReadingPerKelvin = 1e-6 }, again, []string{band}},
		{"band of the meter, of range", plain, func(m *Meter) { m.Ranges[0].OfRangePerKelvin = 1e-6 }, again, []string{band}},
		{"temperature of the meter stated", plain, func(m *Meter) { m.Ranges[0].OfReadingPerKelvin = 1e-6 }, func(rs []Reading) []Reading {
			rs = again(rs)
			for i := range rs {
				rs[i].MeterTemperature = new(23.0)
			}
			return rs
		}, nil},
		{"out of class", plain, normal, func(rs []Reading) []Reading { rs = again(rs); rs[1].Values = []float64{150}; return rs }, []string{class}},
	} {
		m := fourWire()
		c.meter(m)
		r := evaluated(t, c.box, m, c.readings(simulate(t, c.box, elements(nil), nil)), conformity.Guarded(1))
		said := fmt.Sprint(r.Warnings)
		for _, text := range all {
			want := false
			for _, w := range c.want {
				want = want || w == text
			}
			if strings.Contains(said, text) != want {
				t.Errorf("%s: warning of %q: %v; want %v (all: %s)", c.name, text, !want, want, said)
			}
		}
	}
}

// A range is used up to what it shows, and its name needs no blank.
func TestReadingAtTheEndOfARange(t *testing.T) {
	box := threeDials(t)
	s := settings(t, box, "10-0-0")[0]
	m := fourWire()
	m.Ranges[0].OverRange = 1
	m.Ranges = append(m.Ranges, Range{Name: "10 kΩ", FullScale: 10e3, OfReading: 1e-4})
	for _, c := range []struct {
		value       float64
		name, shown string
		err         error
	}{
		{1000, "", "1 kΩ", nil}, {1000, "1 kΩ", "1 kΩ", nil}, {1000, "1kΩ", "1 kΩ", nil}, {1000, "10kΩ", "10 kΩ", nil},
		{math.Nextafter(1000, 2000), "", "10 kΩ", nil}, {math.Nextafter(1000, 2000), "1 kΩ", "", ErrNoRange}, {1000, "5 kΩ", "", ErrUnknown},
	} {
		r, err := Evaluate(box, m,
			[]Reading{{Setting: s, Values: []float64{c.value}, Range: c.name}},
			conformity.Guarded(1))
		if !errors.Is(err, c.err) || err == nil && r.Rows[0].Range != c.shown {
			t.Errorf("%v Ω on range %q: %v; want range %q, %v", c.value, c.name, err, c.shown, c.err)
		}
	}
}

func TestLargestNumbersOfAPlanAndOfReadings(t *testing.T) {
	box := threeDials(t)
	s := settings(t, box, "1-0-0")[0]
	reading := func(change func(*Reading)) Reading {
		r := Reading{Setting: s, Values: []float64{100}}
		change(&r)
		return r
	}
	for _, c := range []struct {
		name string
		r    Reading
		want error
	}{
		{"last dialling", reading(func(r *Reading) { r.Dialling = mostDiallings }), nil},
		{"dialling after the last", reading(func(r *Reading) { r.Dialling = mostDiallings + 1 }), ErrDomain},
		{"as left", reading(func(r *Reading) { r.Stage = StageAsLeft }), nil},
		{"stage after the last", reading(func(r *Reading) { r.Stage = StageAsLeft + 1 }), ErrUnknown},
	} {
		if err := WriteReadings(&strings.Builder{}, []Reading{c.r}); !errors.Is(err, c.want) {
			t.Errorf("%s: %v; want %v", c.name, err, c.want)
		}
	}
	for at, want := range map[float64]error{-273.15: ErrDomain, -273.1: nil, 999.9: nil, 1000: ErrDomain} {
		for _, r := range []Reading{reading(func(r *Reading) { r.Temperature = &at }),
			reading(func(r *Reading) { r.MeterTemperature = &at })} {
			if _, err := Evaluate(box, fourWire(), []Reading{r}, conformity.Guarded(1)); !errors.Is(err, want) {
				t.Errorf("temperature %v: %v; want %v", at, err, want)
			}
		}
	}
	p, err := NewPlan(box, ExtentFull)
	if err != nil {
		t.Fatal(err)
	}
	for repeats, want := range map[int]error{0: ErrDomain, 1: nil, mostRepeats: nil, mostRepeats + 1: ErrDomain} {
		if err := p.WriteCSV(&strings.Builder{}, repeats); !errors.Is(err, want) {
			t.Errorf("%d repeats: %v; want %v", repeats, err, want)
		}
	}
	if _, err := (NullBoxAtZero + 1).MarshalText(); !errors.Is(err, ErrDomain) ||
		!strings.Contains(err.Error(), "3; expected 0 to 2") {
		t.Errorf("null after the last: %v; want the range in the text", err)
	}
	for cell, want := range map[string][2]string{"5e": {"5", "e"}, "1e3 kΩ": {"1e3", "kΩ"},
		"2e-3Ω": {"2e-3", "Ω"}, "e3": {"", "e3"}, "7": {"7", ""}, "": {"", ""}} {
		if number, unit := cutNumeral(cell); number != want[0] || unit != want[1] {
			t.Errorf("cell %q: number %q, unit %q; want %q", cell, number, unit, want)
		}
	}
}

// The stage stands where there are two, and only there.
func TestStagesAreNamedWhereThereAreTwo(t *testing.T) {
	box := oneDial(t)
	found := simulate(t, box, elements(map[int]float64{3: 100.15}), nil)
	one := evaluated(t, box, fourWire(), found, conformity.Guarded(20))
	text := one.String()
	if strings.Contains(text, "As found") ||
		!strings.Contains(text, "\n  - 11 of 11 settings judged: ") ||
		!strings.Contains(text, "Too close to a limit for this meter, as found: ") {
		t.Errorf("one stage:\n%s", text)
	}
	both := found
	for _, rd := range simulate(t, box, elements(nil), nil) {
		rd.Stage = StageAsLeft
		both = append(both, rd)
	}
	two := evaluated(t, box, fourWire(), both, conformity.Guarded(20))
	text = two.String()
	for _, want := range []string{"\n  - As found, 11 of 11 settings judged: ",
		"\n  - As left, 11 of 11 settings judged: ",
		"Too close to a limit for this meter, as found: ", "\n3 as found", "\n3 as left"} {
		if !strings.Contains(text, want) {
			t.Errorf("two stages: no %q in\n%s", want, text)
		}
	}
	if strings.Contains(text, "Warnings\n") != (len(two.Warnings) > 0) || len(two.Warnings) == 0 {
		t.Errorf("%d warnings; want them under their heading", len(two.Warnings))
	}
	two.Warnings = nil
	var md strings.Builder
	if err := two.WriteMarkdown(&md); err != nil || strings.Contains(md.String(), "Warnings") ||
		strings.Contains(two.String(), "Warnings") {
		t.Errorf("no warnings, %v: a heading for them in\n%s", err, md.String())
	}
}

// The cells of a row by hand: sign, relative deviation, verdict with its note.
func TestCellsOfARow(t *testing.T) {
	box := oneDial(t)
	r := evaluated(t, box, fourWire(),
		read(t, box, map[string]float64{"0": 0.01, "5": 500.06, "7": 699.96}),
		conformity.Guarded(1))
	for setting, want := range map[string][2]string{"0": {"0.0000", ""},
		"5": {"+0.050", "+100 ppm"}, "7": {"-0.050", "-71 ppm"}} {
		row := row(t, r, setting)
		cells := row.cells(1)
		if cells[0] != setting || cells[4] != want[1] || want[1] != "" && !strings.HasPrefix(cells[3], want[0]) {
			t.Errorf("%s: cells %q; want deviation %s, relative %s", setting, cells, want[0], want[1])
		}
	}
	x := row(t, r, "5")
	if got := x.cells(1); got[9] != "conforms" {
		t.Errorf("verdict %q; want conforms", got[9])
	}
	x.Note, x.Reading.Dialling = "held by hand", 2
	if got := x.cells(2); got[9] != "conforms (held by hand)" || got[0] != "5 #2 as found" {
		t.Errorf("verdict %q of %q; want conforms (held by hand) of 5 #2 as found", got[9], got[0])
	}
	x.Judged = false
	if got := x.cells(1); got[9] != "held by hand" {
		t.Errorf("not judged: %q; want the note alone", got[9])
	}
}

// Three repeats take the pooled standard deviation, four their own with three degrees of
// freedom: deviations of 1 mΩ and 2 mΩ about the means, by hand.
func TestDegreesOfFreedomOfRepeats(t *testing.T) {
	box := threeDials(t)
	m := fourWire()
	m.Ranges[0].Resolution = 0
	s := settings(t, box, "1-0-0", "0-0-1")
	r := evaluated(t, box, m, []Reading{
		{Setting: s[0], Values: []float64{99.999, 100.001, 99.999, 100.001}}, {Setting: s[1], Values: []float64{0.998, 1.000, 1.002}},
	}, conformity.Guarded(1))
	for k, want := range []struct {
		contribution float64
		dof          float64
	}{{1e-3 * math.Sqrt(4.0/3) / 2, 3}, {1e-3 * math.Sqrt(12.0/5) / math.Sqrt(3), 5}} {
		found := false
		for _, c := range r.Rows[k].Budget().Components {
			if strings.HasPrefix(c.Name, "repeatability") {
				found = true
				if math.Abs(math.Abs(c.Contribution)-want.contribution) > 1e-9 || c.DOF != want.dof {
					t.Errorf("row %d: contribution %v with %v degrees of freedom; want %v with %v",
						k+1, c.Contribution, c.DOF, want.contribution, want.dof)
				}
			}
		}
		if !found {
			t.Errorf("row %d: no repeatability in the budget", k+1)
		}
	}
}

// A meter that shows one number twice has no scatter, also where two such pairs at zero are all
// repeats of their range: t with two degrees of freedom has no standard deviation, and 0 needs
// none.
func TestRepeatsThatAgree(t *testing.T) {
	box, err := decade.New(decade.Spec{Residual: 0.012, ResidualTolerance: 0.003, Contact: 0.0002,
		Decades: []decade.Decade{{Step: 100, Tolerance: 0.001}, {Step: 10, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	s := settings(t, box, "0-0", "1-0")
	r := evaluated(t, box, fourWire(), []Reading{
		{Setting: s[0], Values: []float64{0.012, 0.012}}, {Setting: s[0], Dialling: 2, Values: []float64{0.0121, 0.0121}},
		{Setting: s[1], Values: []float64{100.01}},
	}, conformity.Guarded(1))
	for k := range r.Rows {
		if u := r.Rows[k].Expanded.U; !(u > 0) || math.IsInf(u, 0) {
			t.Errorf("row %d: U = %v Ω; want a number", k+1, u)
		}
	}
}

// Leads and null stand in a budget where they have a limit, and are subtracted where
// nothing was nulled.
func TestLeadsAndNullInTheBudget(t *testing.T) {
	box := oneDial(t)
	rs := read(t, box, map[string]float64{"1": 100.11})
	for _, c := range []struct {
		name       string
		leads      Leads
		measured   float64
		want, none string
	}{
		{"leads with a limit", Leads{Resistance: 0.1, Tolerance: 0.01}, 100.01, "leads", "null"},
		{"leads without", Leads{Resistance: 0.1}, 100.01, "", "leads"},
		{"null with a limit", Leads{Null: NullLeadsJoined, NullTolerance: 0.01}, 100.11, "null", "leads"},
		{"null without", Leads{Null: NullLeadsJoined}, 100.11, "", "null"},
	} {
		m := fourWire()
		m.Wiring, m.Leads = WiringTwoWire, c.leads
		row := evaluated(t, box, m, rs, conformity.Guarded(1)).Rows[0]
		if math.Abs(row.Measured.Estimate()-c.measured) > 1e-12 {
			t.Errorf("%s: measured %v; want %v", c.name, row.Measured.Estimate(), c.measured)
		}
		var names []string
		for _, part := range row.Budget().Components {
			if strings.HasPrefix(part.Name, "leads") || strings.HasPrefix(part.Name, "null") {
				names = append(names, part.Name)
				if math.Abs(math.Abs(part.Contribution)-0.01/math.Sqrt(3)) > 1e-12 {
					t.Errorf("%s: %s contributes %v; want 0.01/√3", c.name, part.Name, part.Contribution)
				}
			}
		}
		all := strings.Join(names, ", ")
		if c.want == "" && all != "" || !strings.Contains(all, c.want) || strings.Contains(all, c.none) {
			t.Errorf("%s: components %q; want %q and no %q", c.name, all, c.want, c.none)
		}
	}
}

// Several diallings that disagree are one finding; readings that contradict each other
// are named by their numbers.
func TestDiallingsOfOneSetting(t *testing.T) {
	box := oneDial(t)
	rs := simulate(t, box, elements(nil), nil)
	six := settings(t, box, "6")[0]
	for i, v := range []float64{600.3, 600.01, 600.5} {
		rs = append(rs, Reading{Setting: six, Values: []float64{v}, Dialling: i + 2})
	}
	r := evaluated(t, box, fourWire(), rs, conformity.Guarded(1))
	bad := 0
	for _, f := range r.Findings {
		if f.Kind == FindingScatter {
			bad++
		}
	}
	if bad != 1 {
		t.Errorf("%d findings of scatter; want one: %v", bad, r.Findings)
	}
	twice := []Reading{{Setting: six, Values: []float64{600}},
		{Setting: six, Values: []float64{600}, Dialling: 7},
		{Setting: six, Values: []float64{601}, Dialling: 7}}
	if _, err := Evaluate(box, fourWire(), twice, conformity.Guarded(1)); !errors.Is(err,
		ErrContradiction) || !strings.Contains(err.Error(), "readings 2 and 3;") ||
		!strings.Contains(err.Error(), "value 2") || strings.Contains(err.Error(), "Values") { // columns, no fields
		t.Errorf("one dialling twice: %v; want readings 2 and 3 named", err)
	}
	twice[1].Values = nil
	if err := WriteReadings(&strings.Builder{}, twice); err == nil || !strings.Contains(err.Error(), "reading 2") {
		t.Errorf("second reading without a value: %v; want reading 2 named", err)
	}
}

// No interval is wider than the worst case: a gain limit a and the limit r = 5 mΩ of the
// residual are all there is, and 1.96·√((a² + r²)/3) would exceed a + r from a = 7·r on, that
// is from position 4 up. Warnings count: a coarse meter cannot decide at any of the ten settings.
func TestWarningsCount(t *testing.T) {
	box := oneDial(t)
	m := fourWire()
	m.Ranges[0].OfRange, m.Ranges[0].Resolution = 0, 0
	r := evaluated(t, box, m, simulate(t, box, elements(nil), nil)[1:], conformity.Guarded(1))
	beyond := 0
	for _, row := range r.Rows {
		worst := float64(m.Ranges[0].OfReading*row.Measured.Estimate()) + 0.005
		if row.Expanded.U > worst {
			t.Errorf("%v: U %v, more than the worst case of %v", row.Setting, row.Expanded.U, worst)
		}
		if 1.96*row.u > worst {
			beyond++
		}
	}
	if beyond != 7 {
		t.Errorf("k·u exceeds the worst case in %d rows, want 7", beyond)
	}
	m.Ranges[0].OfReading = 0.01
	r = evaluated(t, box, m, simulate(t, box, elements(nil), nil)[1:], conformity.Guarded(1))
	if said := fmt.Sprint(r.Warnings); !strings.Contains(said, "on range 1 kΩ U exceeds the limit at 10 settings") {
		t.Errorf("coarse meter: %s; want a warning of 10 settings", said)
	}
}

// Readings with the current reversed alone weigh whole; only a mean of both polarities
// halves each.
func TestScatterOfReversedReadings(t *testing.T) {
	box := oneDial(t)
	m := fourWire()
	m.Ranges[0].Resolution = 0
	values := []float64{99.999, 100.001, 99.999, 100.001}
	for _, c := range []struct {
		values, reversed []float64
		want             float64
	}{{values, nil, 1}, {nil, values, 1}, {values, values, 0.5}} {
		r := evaluated(t, box, m,
			[]Reading{{Setting: settings(t, box, "1")[0], Values: c.values, Reversed: c.reversed}},
			conformity.Guarded(1))
		want := c.want * 1e-3 * math.Sqrt(4.0/3) / 2
		n := 0
		for _, part := range r.Rows[0].Budget().Components {
			if strings.HasPrefix(part.Name, "repeatability") {
				n++
				if math.Abs(math.Abs(part.Contribution)-want) > 1e-9 {
					t.Errorf("%s: contribution %v; want %v", part.Name, part.Contribution, want)
				}
			}
		}
		if (n == 2) != (c.want == 0.5) || n == 0 {
			t.Errorf("%d and %d values: %d contributions of repeats", len(c.values), len(c.reversed), n)
		}
	}
}

// A reading of a file is named by its line, one of a program by its setting alone.
func TestPlaceOfAReading(t *testing.T) {
	r := Reading{Setting: settings(t, oneDial(t), "3")[0]}
	if got := r.place(); got != "setting 3" {
		t.Errorf("without a line: %q", got)
	}
	r.Line = 1
	if got := r.place(); got != "line 1: setting 3" {
		t.Errorf("line 1: %q", got)
	}
}
