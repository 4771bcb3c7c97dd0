// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// twoDials is a box with a stated contact, and an ideal meter.
func dialledBox(t testing.TB, contact float64) (*decade.Box, *Meter) {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "two dials", ResidualIncluded: true, Residual: 0.02,
		ResidualTolerance: 0.02, Contact: contact, Decades: []decade.Decade{
			{Name: "×10", Step: 10, Tolerance: 1e-3}, {Name: "×1", Step: 1, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	return b, &Meter{Name: "m", Ideal: true, Wiring: WiringFourWire, OffsetCompensated: true,
		Ranges: []Range{{Name: "100 Ω", FullScale: 100, OverRange: 1.2}}}
}

// of reads settings, each value a dialling.
func of(t testing.TB, b *decade.Box, values map[string][]float64) []Reading {
	t.Helper()
	var out []Reading
	for _, text := range []string{"0-0", "1-0", "5-0", "0-1", "0-3", "0-7"} {
		for _, v := range values[text] {
			out = append(out, Reading{Setting: settings(t, b, text)[0], Values: []float64{v}})
		}
	}
	return out
}

// Five diallings 2.4 mΩ apart: U contains the scatter, in the row, the mean of the setting and
// the next dialling, with Student's factor for four degrees of freedom.
func TestDiallingsAreInEveryBudget(t *testing.T) {
	b, m := dialledBox(t, 0)
	r := evaluated(t, b, m, of(t, b,
		map[string][]float64{"0-1": {1.0200, 1.0224, 1.0209, 1.0213, 1.0204}}),
		conformity.Guarded(1))
	s := math.Sqrt((1e-3*1e-3 + 1.4e-3*1.4e-3 + 0.1e-3*0.1e-3 + 0.3e-3*0.3e-3 + 0.6e-3*0.6e-3) / 4) // about 1.0210
	// T, 95 %, 4 degrees of freedom.
	k := 2.7764
	for i, row := range r.Rows {
		if math.Abs(row.Expanded.U-k*s) > 1e-4*k*s || row.UncertaintyRatio > 1 {
			t.Errorf("dialling %d: U %v, ratio %v; want %v and a ratio below 1", i+1,
				row.Expanded.U, row.UncertaintyRatio, k*s)
		}
	}
	if len(r.Settings) != 1 || r.Settings[0].Diallings != 5 {
		t.Fatalf("results %v", r.Settings)
	}
	x := r.Settings[0]
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"mean of the setting", x.Mean.Expanded.U, k * s / math.Sqrt(5)}, {"next dialling", x.Next.Expanded.U, k * s * math.Sqrt(1.2)},
		{"this dialling", x.ThisDialling.Expanded.U, k * s}, // its noise is not known apart
	} {
		if math.Abs(c.got-c.want) > 1e-4*c.want {
			t.Errorf("%s: U %v, want %v", c.name, c.got, c.want)
		}
	}
	if got := x.Mean.Deviation.Estimate(); math.Abs(got-0.0210) > 1e-12 {
		t.Errorf("mean %v, want 0.0210", got)
	}
	if !strings.Contains(x.String(), "next dialling +21 mΩ, U = ") {
		t.Errorf("%v", x)
	}
	// With the noise stated, this dialling is known as it stands.
	m.Ranges[0].Noise = 1e-5
	r = evaluated(t, b, m, of(t, b,
		map[string][]float64{"0-1": {1.0200, 1.0224, 1.0209, 1.0213, 1.0204}}),
		conformity.Guarded(1))
	if got := r.Settings[0].ThisDialling.Expanded.U; math.Abs(got-1.96e-5) > 1e-8 {
		t.Errorf("this dialling: U %v, want 1.96e-5", got)
	}
}

// The stated contact stays until χ² of the diallings is above its 95 % point.
func TestStatedContactIsReplacedByMore(t *testing.T) {
	for _, c := range []struct {
		contact float64
		used    bool
	}{{0.8e-3, false}, {0.2e-3, true}} {
		b, m := dialledBox(t, c.contact)
		r := evaluated(t, b, m,
			of(t, b, map[string][]float64{"0-0": {0.0200, 0.0214, 0.0206},
				"5-0": {50.0224, 50.0209, 50.0213}}), conformity.Guarded(1))
		warned := 0
		for _, w := range r.Warnings {
			if errors.Is(w, ErrInconsistent) {
				warned++
			}
		}
		if r.Switching.Used != c.used || r.Switching.DOF != 4 || (warned == 1) != c.used ||
			len(r.Switching.Dials) != 0 {
			t.Errorf("contact %v: %v, %d warnings", c.contact, r.Switching, warned)
		}

		if c.used && math.Abs(r.Switching.Estimated*math.Sqrt2-math.Sqrt(
			(variance(0.0200, 0.0214, 0.0206)+variance(0.0224, 0.0209, 0.0213))/2)) > 1e-9 {
			t.Errorf("%v, want the root of the mean variance over two contacts", r.Switching.Estimated)
		}
	}
}

func variance(values ...float64) float64 {
	_, s, err := uncertainty.MeanStdDev(values)
	if err != nil {
		return math.NaN()
	}
	return s * s
}

// One dial scatters a hundred times more than the others: it gets its own.
func TestDialApart(t *testing.T) {
	b, m := dialledBox(t, 0)
	values := map[string][]float64{
		"0-0": {0.0200, 0.0201, 0.0199, 0.0200}, "1-0": {10.0200, 10.0201, 10.0199, 10.0202}, "5-0": {50.0200},
		"0-1": {1.0200, 1.0310, 1.0250, 1.0190}, "0-3": {3.0200, 3.0390, 3.0280}, "0-7": {7.02},
	}
	r := evaluated(t, b, m, of(t, b, values), conformity.Guarded(1))
	if len(r.Switching.Dials) != 1 || r.Switching.Dials[0].Dial != 1 ||
		r.Switching.Dials[0].DOF != 5 || r.Switching.DOF != 6 {
		t.Fatalf("%v", r.Switching)
	}
	quiet, loud := u(t, row(t, r, "5-0").Measured), u(t, row(t, r, "0-7").Measured)
	if quiet > 0.3e-3 || loud < 5e-3 {
		t.Errorf("u of the quiet dial %v, of the other %v", quiet, loud)
	}
}

// Only the dials that were turned made their contacts again.
func TestTurnedDials(t *testing.T) {
	b, m := dialledBox(t, 0)
	rs := of(t, b, map[string][]float64{"0-1": {1.0200, 1.0224, 1.0209, 1.0213, 1.0204}})
	all := evaluated(t, b, m, rs, conformity.Guarded(1)).Switching.Estimated
	for i := range rs {
		rs[i].Turned = []int{1}
	}
	r := evaluated(t, b, m, rs, conformity.Guarded(1))
	if math.Abs(r.Switching.Estimated/all-math.Sqrt2) > 1e-9 {
		t.Errorf("one of two contacts turned: %v, both %v", r.Switching.Estimated, all)
	}
	// Both contacts are in what a dialling of all is worth.
	if got := u(t, r.Rows[0].Measured); math.Abs(got-r.Switching.Estimated*math.Sqrt2) > 1e-9 {
		t.Errorf("u %v, want that of two contacts", got)
	}
	for _, turned := range [][]int{{}, {2}, {-1}, {0, 0}} {
		rs[0].Turned = turned
		if _, err := Evaluate(b, m, rs, conformity.Guarded(1)); err == nil {
			t.Errorf("dials %v turned: no error", turned)
		}
	}
	text := "setting,turned,value\n0-1,2,1.02\n0-1,1 2,1.03\n0-1,all,1.02\n"
	_, err := ReadReadings(strings.NewReader(strings.Replace(text, "1 2", "3", 1)), b)
	if err == nil || !strings.Contains(err.Error(), "numbers of dials from 1 to 2") {
		t.Errorf("dial 3 of 2: %v", err)
	}
}

// The mean of zeros is one source of every row, whose degrees of freedom are those of the pool.
func TestMeanOfZeros(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", Decades: []decade.Decade{{Name: "×1", Step: 1, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	_, m := dialledBox(t, 0)
	var rs []Reading
	for _, v := range []float64{0.0200, 0.0224, 0.0209, 0.0213, 0.0204} {
		rs = append(rs, Reading{Setting: b.Zero(), Values: []float64{v}})
	}
	one, _ := b.At(1)
	rs = append(rs, Reading{Setting: one, Values: []float64{1.0210}})
	r := evaluated(t, b, m, rs, conformity.Guarded(1))
	last := r.Rows[5]
	s := math.Sqrt(variance(0.0200, 0.0224, 0.0209, 0.0213, 0.0204))
	if math.Abs(last.Budget().DOF-4) > 1e-9 ||
		math.Abs(last.Budget().StandardUncertainty-s*math.Sqrt(1.2)) > 1e-9 ||
		len(last.Budget().Components) != 2 {
		t.Errorf("u %v with %v degrees of freedom, want %v with 4:\n%v",
			last.Budget().StandardUncertainty, last.Budget().DOF, s*math.Sqrt(1.2), last.Budget())
	}
}

// The printed critical values of Cochran's test are the ratio C of the largest variance to the
// sum of all at which the bound by F is the level.
func TestPublishedCochran(t *testing.T) {
	for _, c := range []struct {
		groups, n int
		five, one string
	}{
		{3, 2, "0.967", "0.993"}, {4, 2, "0.906", "0.968"}, {5, 2, "0.841", "0.928"}, {10, 2, "0.602", "0.718"},
		{3, 3, "0.871", "0.942"}, {4, 3, "0.768", "0.864"}, {5, 3, "0.684", "0.788"}, {10, 3, "0.445", "0.536"},
	} {
		for level, printed := range map[float64]string{0.05: c.five, 0.01: c.one} {
			low, high := 1/float64(c.groups), 1.0
			for range 60 {
				C := (low + high) / 2
				ratio := C * float64(c.groups-1) / (1 - C)
				if cochran(ratio, float64(c.n-1), float64((c.groups-1)*(c.n-1)), c.groups) > level {
					low = C
				} else {
					high = C
				}
			}
			exception := ""
			if level == 0.01 && (c.groups == 10 && c.n == 2 || c.groups == 5 && c.n == 3) {
				exception = "rounded twice: four digits are 0.7175 and 0.7885"
			}
			uncertaintytest.Published{
				Name:   fmt.Sprintf("C of %d variances of %d values, %v", c.groups, c.n, level),
				Source: "ISO 5725-2:1994", Place: "Table 4", Printed: printed,
				Provenance: uncertaintytest.FromMemory, Exception: exception,
			}.Run(t, low)
		}
	}
}

// One bad pair is a finding of its own: the other settings of its dial, and the contacts of the
// box, are as without it. What has the same contact scatters with it.
func TestOutlyingPair(t *testing.T) {
	good := map[string][]float64{
		"0-0": {0.0200, 0.0201, 0.0199, 0.0200}, "1-0": {10.0200, 10.0202}, "5-0": {50.0200},
		"0-1": {1.0200, 1.0201}, "0-3": {3.0200}, "0-7": {7.0201, 7.0200},
	}
	bad := maps.Clone(good)
	bad["0-3"] = []float64{3.0200, 3.2200}
	for _, stated := range []float64{0, 1e-4} {
		b, m := dialledBox(t, stated)
		clean := evaluated(t, b, m, of(t, b, good), conformity.Guarded(1))
		rs := of(t, b, bad)
		both := settings(t, b, "5-3")[0]
		r := evaluated(t, b, m, append(rs, Reading{Setting: both, Values: []float64{53.02}}), conformity.Guarded(1))
		if x := r.Switching.Outlying; len(x) != 1 || x[0].Setting.String() != "0-3" ||
			x[0].Dial != 1 || x[0].Position != 3 || x[0].DOF != 1 ||
			math.Abs(x[0].Estimated-0.2/math.Sqrt2) > 1e-9 {
			t.Fatalf("contact %v: %v", stated, r.Switching)
		}
		if len(r.Switching.Dials) != 0 || r.Switching.Used != (stated == 0) {
			t.Errorf("contact %v: %v", stated, r.Switching)
		}
		for _, text := range []string{"0-0", "0-1", "0-7", "5-0"} {
			if got, want := row(t, r, text).Expanded.U, row(t, clean, text).Expanded.U; math.Abs(got-want) > 1e-9 {
				t.Errorf("contact %v, %s: U %v, want %v as without the pair", stated, text, got, want)
			}
		}
		for _, text := range []string{"0-3", "5-3"} {
			if got := row(t, r, text).Expanded.U; got < 1.7 {
				t.Errorf("contact %v, %s: U %v does not contain the scatter of its contact", stated, text, got)
			}
		}
		k := slices.IndexFunc(r.Findings, func(f Finding) bool {
			return f.Kind == FindingScatter && slices.Contains(f.Settings, settings(t, b, "0-3")[0])
		})
		if k < 0 || !strings.Contains(r.Findings[k].String(), "No other setting scatters like it") {
			t.Errorf("contact %v: findings %v", stated, r.Findings)
		}
	}
	// Two bad pairs of three are the dial.
	b, m := dialledBox(t, 0)
	bad["0-7"] = []float64{7.0200, 7.1700}
	r := evaluated(t, b, m, of(t, b, bad), conformity.Guarded(1))
	if len(r.Switching.Outlying) != 0 || len(r.Switching.Dials) != 1 || r.Switching.Dials[0].DOF != 3 {
		t.Errorf("two of three: %v", r.Switching)
	}
}

// Of good boxes one in a hundred has a setting or dial apart, no more.
func TestGoodBoxesHaveNothingApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	const trials = 3000
	named := 0
	for trial := range trials {
		c := contacts{dials: make(map[int]scattered)}
		for k := range 12 {
			n := 2 + (k+trial)%3
			values := make([]float64, n)
			for i := range values {
				values[i] = 1e-3 * math.Sqrt2 * rng.NormFloat64()
			}
			c.groups = append(c.groups,
				dialledOften{dial: k % 4, dof: float64(n - 1), variance: variance(values...),
					contacts: 2, noise: 1e-10})
		}
		c.separateSettings(0)
		if len(c.report.Outlying)+len(c.report.Dials) > 0 {
			named++
		}
	}
	// The bound of Cochran's test is close to its level; chance leaves 18 to 44 of 3,000.
	if named < 18 || named > 44 {
		t.Errorf("%d of %d good boxes have a setting apart, want 1 %%", named, trials)
	}
}

// Diallings that scatter by far less than the stated contact are a warning, from five degrees of
// freedom on.
func TestDiallingsThatAgreeTooWell(t *testing.T) {
	for _, n := range []int{5, 6} {
		b, m := dialledBox(t, 1e-3)
		values := []float64{1.0200, 1.0201, 1.0199, 1.0202, 1.0200, 1.0201}[:n]
		r := evaluated(t, b, m, of(t, b, map[string][]float64{"0-1": values}), conformity.Guarded(1))
		warned := slices.ContainsFunc(r.Warnings, func(err error) bool {
			return errors.Is(err, ErrInconsistent) &&
				strings.Contains(err.Error(), "agree better than their uncertainties")
		})
		if warned != (n == 6) {
			t.Errorf("%d diallings: warned %v\n%v", n, warned, r.Warnings)
		}
	}
}

// A value that is withheld feeds nothing: of two diallings, one has the value of the next
// position, and the scatter of the contacts is that of the box without it.
func TestSlipFeedsNoScatter(t *testing.T) {
	b := sixDials(t)
	twice := func(change func(s decade.Setting, v float64) float64) []Reading {
		return append(sound(t, b, change), sound(t, b, func(s decade.Setting, v float64) float64 {
			return v + 2e-4 // the contacts were made again
		})...)
	}
	sign := func(s decade.Setting, v float64) float64 {
		if s.String() == "0-0-0-0-4-0" {
			return -v
		}
		return v
	}
	sound := judge(t, b, wideMeter(), twice(nil))
	for name, change := range map[string]func(decade.Setting, float64) float64{
		"exchanged": exchanged, "sign lost": sign} {
		readings := twice(change)
		r := judge(t, b, wideMeter(), readings)
		if len(r.Implausible) != 1 {
			t.Fatalf("%s: %v", name, r.Implausible)
		}
		if len(r.Switching.Outlying) > 0 || len(r.Switching.Dials) > 0 || r.Switching.Used != sound.Switching.Used {
			t.Errorf("%s: %v; want %v", name, r.Switching, sound.Switching)
		}
		n := 0
		for i := range r.Rows {
			row := &r.Rows[i]
			if row.Withheld {
				n++
				if row.Judged || !slices.Contains(r.Implausible[0].Rows, i) {
					t.Errorf("%s: %v withheld, judged %v", name, row.Setting, row.Judged)
				}
				continue
			}
			if want := sound.Rows[i].Expanded.U; !row.Judged || math.Abs(row.Expanded.U-want) > 1e-6*want {
				t.Errorf("%s: U of %v is %v; want %v", name, row.Setting, row.Expanded.U, want)
			}
		}
		// Of the settings with a slip one dialling is left, which has no mean of several.
		if got, want := len(r.Settings), len(sound.Settings)-len(r.Implausible[0].Settings); got != want {
			t.Errorf("%s: results of %d settings; want %d", name, got, want)
		}
		if n != len(r.Implausible[0].Rows) {
			t.Errorf("%s: %d rows withheld of %d", name, n, len(r.Implausible[0].Rows))
		}
		// The same where the report grows, and where the slip came last.
		for _, front := range []int{1, 70, len(readings) - 1} {
			grown, err := judge(t, b, wideMeter(), readings[:front]).Reevaluate(readings)
			if err != nil {
				t.Fatal(err)
			}
			if everything(t, grown) != everything(t, r) {
				t.Errorf("%s: grown from %d readings, the report is another", name, front)
			}
		}
		shorter, err := r.Reevaluate(readings[:70])
		if err != nil {
			t.Fatal(err)
		}
		if everything(t, shorter) != everything(t, judge(t, b, wideMeter(), readings[:70])) {
			t.Errorf("%s: of fewer readings, the report is another", name)
		}
	}
}

// Diallings of a sound box, whose contacts vary as stated, on ranges of which only the fine ones
// show it: no dial stands apart from those that the coarse ranges cannot resolve.
func TestSoundDialOnAFinerRange(t *testing.T) {
	b := sixDials(t)
	apart := 0
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 6))
		var readings []Reading
		for range 2 {
			readings = append(readings, sound(t, b, func(s decade.Setting, v float64) float64 {
				return v + 1e-4*math.Sqrt(6)*r.NormFloat64()
			})...)
		}
		for i := range readings {
			rd := &readings[i]
			step := 1e-5 * math.Pow(10, max(0, math.Ceil(math.Log10(rd.Values[0]/12))))
			rd.Values[0] = math.Round(rd.Values[0]/step) * step
		}
		apart += len(judge(t, b, wideMeter(), readings).Switching.Dials)
	}
	// Of five boxes a dial stands apart in one of twenty cases (1 % each).
	if apart > 0 {
		t.Errorf("%d dials apart; want none", apart)
	}
}

// Diallings of many settings with a noise of 10 mΩ say nothing of contacts of 0.2 mΩ, which three
// settings with a noise of 10 µΩ show: the interval of the next dialling of such a setting holds
// as often as it says, and neither its width nor the estimate is the luck of the noisy ones.
func TestContactsAreWeightedByNoise(t *testing.T) {
	const contacts, contact, coarse, fine, trials = 3, 2e-4, 1e-2, 1e-5, 2000
	r := rand.New(rand.NewPCG(7, 8))
	group := func(noise float64, dof int) dialledOften {
		g := dialledOften{dial: -1, dof: float64(dof), contacts: contacts, noise: noise * noise}
		values := make([]float64, dof+1)
		for i := range values {
			values[i] = contact*math.Sqrt(contacts)*r.NormFloat64() + noise*r.NormFloat64()
		}
		_, sd, _ := uncertainty.MeanStdDev(values)
		g.variance = sd * sd
		return g
	}
	covered, near := 0, 0
	for range trials {
		groups := []dialledOften{group(fine, 2), group(fine, 2), group(fine, 2)}
		for range 20 {
			groups = append(groups, group(coarse, 1))
		}
		p := poolScatter(groups)
		square, dof := p.meanSquare(contacts, fine*fine)
		k, err := uncertainty.CoverageFactor(0.95, dof)
		if err != nil {
			t.Fatal(err)
		}
		next := contact*math.Sqrt(contacts)*r.NormFloat64() + fine*r.NormFloat64()
		if math.Abs(next) <= k*math.Sqrt(square) {
			covered++
		}
		// Six degrees of freedom: a factor of 2 either way holds 97 of 100.
		if got := math.Sqrt(p.contact); got > contact/2 && got < 2*contact {
			near++
		}
	}
	if share := float64(covered) / trials; math.Abs(share-0.95) > 0.018 {
		t.Errorf("the next dialling lies inside in %.1f %%, want 95 ± 1.8 %%", 100*share)
	}
	if near < 0.93*trials {
		t.Errorf("the contact is within a factor of 2 in %.1f %%, want 93 %% or more",
			100*float64(near)/trials)
	}
}

// Where no contact is stated, diallings may differ as those of good contacts do, without a finding;
// what differs by more has one, and says what it was compared with.
func TestGoodContactsAreNoFinding(t *testing.T) {
	b, m := dialledBox(t, 0)
	m.Ranges[0].Resolution = 1e-6
	for _, c := range []struct {
		values []float64
		want   string // empty: no finding
	}{
		{[]float64{0.0120, 0.01215, 0.0119}, ""},
		{[]float64{0.0120, 0.0320, 0.0121}, "where the meter and good contacts (1 mΩ each; nothing is stated) explain"},
	} {
		r := evaluated(t, b, m, of(t, b, map[string][]float64{"0-0": c.values}), conformity.Guarded(1))
		text := ""
		for _, f := range r.Findings {
			if f.Kind == FindingScatter {
				text = f.String()
			}
		}
		if (text == "") != (c.want == "") || !strings.Contains(text, c.want) {
			t.Errorf("%v: %q; want %q", c.values, text, c.want)
		}
	}
	// Many diallings say more than common practice: what good contacts of this box do.
	values := map[string][]float64{}
	for _, s := range []string{"0-0", "1-0", "5-0", "0-1", "0-3", "0-7"} {
		for k := range 4 {
			values[s] = append(values[s], settings(t, b, s)[0].Nominal()+1e-5*float64(k%3))
		}
	}
	r := evaluated(t, b, m, of(t, b, values), conformity.Guarded(1))
	if got := r.Rows[0].StatedScatter; got < 1e-5 || got > 5e-5 {
		t.Errorf("a dialling by what is known of good contacts: %v, want 10 µΩ to 50 µΩ", got)
	}
}
