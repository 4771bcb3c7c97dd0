// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func reportRules() map[string]conformity.Rule {
	return map[string]conformity.Rule{
		"simple": conformity.Simple(), "guarded": conformity.Guarded(1), "root difference": conformity.ByRootDifference(),
		"specific": conformity.BySpecificRisk(0.025), "global": conformity.ByGlobalRisk(0.001, uncertainty.Normal(0, 0.6)),
	}
}

// mixed is a box whose rows have limits and uncertainties of all sizes: floors, two
// tolerances, an element that is off.
func mixed(t *testing.T) (*decade.Box, []Reading) {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "mixed", Residual: 0.012, ResidualTolerance: 0.003,
		Floor: 2e-3, Decades: []decade.Decade{
			{Step: 1000, Positions: 3, Tolerance: 1e-4}, {Step: 1, Positions: 3, Tolerance: 2e-3},
		}})
	if err != nil {
		t.Fatal(err)
	}
	return b, sound(t, b, func(s decade.Setting, v float64) float64 {
		if s.Position(0) >= 2 {
			v += 0.25
		}
		return v + 0.002*float64(s.Position(1))
	})
}

// Every rule judges row by row, as it judges each result alone.
func TestRulesJudgeRowByRow(t *testing.T) {
	b, rs := mixed(t)
	verdicts := make(map[string]bool)
	for name, rule := range reportRules() {
		r := evaluated(t, b, wideMeter(), rs, rule)
		var line strings.Builder
		for _, row := range r.Rows {
			want, err := rule.Decide(row.Limits, row.known())
			if err != nil || row.Verdict != want {
				t.Errorf("%s, %v: %v, want %v, %v", name, row.Setting, row.Verdict, want, err)
			}
			d, err := conformity.FromBudget(row.known())
			if err != nil {
				t.Fatal(err)
			}
			p, err := conformity.Probability(row.Limits, d)
			if err != nil || math.Abs(row.Probability-p) > 1e-12 {
				t.Errorf("%s, %v: probability %v, want %v, %v", name, row.Setting, row.Probability, p, err)
			}
			line.WriteString(row.Verdict.String())
		}
		verdicts[line.String()] = true
		if r.Heading()[4][1] != rule.String() {
			t.Errorf("%s: the report does not state its rule", name)
		}
		text, err := json.Marshal(r)
		if err != nil || !strings.Contains(string(text), `"kind":"`+rule.Kind.String()+`"`) {
			t.Errorf("%s: %v, no kind in the JSON", name, err)
		}
	}
	if len(verdicts) < 2 {
		t.Error("all rules agree on every row: nothing was tested")
	}
	if _, err := Evaluate(b, wideMeter(), rs, conformity.Rule{Kind: 7}); err == nil ||
		!strings.Contains(err.Error(), "expected guard band, root difference") {
		t.Errorf("an unknown rule: %v", err)
	}
}

// A box of the class that is met conforms under the same rule, one of a class a little
// better does not: the constant part stays as stated.
func TestClassMetIsMet(t *testing.T) {
	b, rs := mixed(t)
	for name, rule := range reportRules() {
		// Rules by risk are integrated anew for each class tried.
		if !uncertaintytest.Long() && (name == "global" || name == "specific") {
			continue
		}
		for _, c := range evaluated(t, b, wideMeter(), rs, rule).ClassMet {
			for factor, want := range map[float64]bool{1 + 1e-6: true, 1 - 1e-4: false} {
				spec := b.Spec()
				for d := range spec.Decades {
					if c.Dial < 0 || c.Dial == d {
						spec.Decades[d].Tolerance = c.Exact * factor
					}
				}
				again, err := decade.New(spec)
				if err != nil {
					t.Fatal(err)
				}
				var moved []Reading
				for _, rd := range rs {
					rd.Setting = at(t, again, rd.Setting.String())
					moved = append(moved, rd)
				}
				r := evaluated(t, again, wideMeter(), moved, rule)
				all := true
				for _, row := range r.Rows {
					if d, _ := onlyDialOffZero(row.Setting); !row.Setting.AllZero() && (c.Dial < 0 || c.Dial == d) {
						all = all && row.Verdict == conformity.VerdictConforms
					}
				}
				if all != want {
					t.Errorf("%s, %s: %v times %v: conforms %v", name, c.Name, c.Exact, factor, all)
				}
			}
		}
	}
}

// By hand, with simple acceptance: 250 mΩ at 2 kΩ less the floor of 2 mΩ are 124 ppm, met by
// the 0.02 % class; 6 mΩ at 3 Ω less 2 mΩ are 0.133 %.
func TestClassMetByHand(t *testing.T) {
	b, rs := mixed(t)
	met := evaluated(t, b, wideMeter(), rs, conformity.Simple()).ClassMet
	for i, want := range []struct {
		name                  string
		stated, exact, series float64
		decisive              string
		settings              int
	}{{"×1 kΩ", 1e-4, 0.248 / 2000, 2e-4, "2-0", 3}, {"×1 Ω", 2e-3, 4e-3 / 3, 2e-3, "0-3", 3}, {"box", 2e-3, 4e-3 / 3, 2e-3, "0-3", 7}} {
		c := met[i]
		if c.Name != want.name || c.Stated != want.stated ||
			math.Abs(c.Exact/want.exact-1) > 1e-6 || c.Series != want.series ||
			c.Decisive.String() != want.decisive || c.Settings != want.settings {
			t.Errorf("%+v (%v at %v); want %+v", c, c, c.Decisive, want)
		}
	}
	if want := "The ×1 kΩ dial meets 0.02 %: it needs 0.0124 %, at 2-0 (stated 0.01 %; 3 " +
		"settings)."; met[0].String() != want {
		t.Errorf("%v; want %s", met[0], want)
	}
	far := ClassMet{Dial: -1, Stated: 0.02, Exact: 0.57, Series: 1, Settings: 3, Decisive: rs[2].Setting}
	if want := "The box meets no class up to 10 %: it needs 57 %, at 2-0 (stated up to 2 %; 3 " +
		"settings)."; far.String() != want {
		t.Errorf("%v; want %s", far, want)
	}
	constant := ClassMet{Name: "×1 Ω", Stated: 2e-3, Settings: 3, Decisive: rs[2].Setting}
	if want := "The ×1 Ω dial conforms by its constant limits alone (stated 0.2 %; 3 " +
		"settings)."; constant.String() != want {
		t.Errorf("%v; want %s", constant, want)
	}
	rs[1] = Reading{Setting: rs[1].Setting, Overload: true}
	met = evaluated(t, b, wideMeter(), rs, conformity.Guarded(1)).ClassMet
	if !math.IsInf(met[0].Exact, 1) ||
		!strings.Contains(met[0].String(), "meets no class: open at 1-0") ||
		math.IsInf(met[1].Exact, 1) {
		t.Errorf("an open setting: %v", met)
	}
}

func TestSeriesOneTwoFive(t *testing.T) {
	for x, want := range map[float64]float64{1e-4: 1e-4, 1.01e-4: 2e-4, 2e-4: 2e-4, 2.1e-4: 5e-4,
		5.1e-4: 1e-3, 0.03: 0.05, 0: 0, 9.99e-6: 1e-5, 1: 1, 3: 5} {
		if got := nextInSeries(x); got != want {
			t.Errorf("%v: %v; want %v", x, got, want)
		}
	}
}

// No more digits than mean something.
func TestProbabilityText(t *testing.T) {
	for p, want := range map[float64]string{1: "> 99.9 %", 0.9994: "99.9 %", 0.5: "50.0 %",
		0.0004: "< 0.1 %", 0: "< 0.1 %"} {
		if got := probabilityText(p); got != want {
			t.Errorf("%v: %s; want %s", p, got, want)
		}
	}
}
