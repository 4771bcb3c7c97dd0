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
)

// A setting that was dialled J times with n values each has three results, and people who ask
// for "the value at 1-0-0" mean different ones. With s² the mean square within diallings and MSB
// that between them (one-way analysis of variance, GUM H.5):
//
//	this dialling   the last value: noise of its n values; its contacts stand as they are
//	mean            the mean of all: MSB/(n·J), J − 1 degrees of freedom of its own, or pooled
//	next dialling   the mean, and the contacts of one more: MSB/n·(1 + 1/J)
//
// The first is for somebody who leaves the box as it is dialled, the second for the elements and
// the drift of a box, the third for whoever uses the setting. The meter's error is the same in
// all three: it does not average over diallings.

// A SettingResult holds the three results of several diallings of one setting. All are
// deviations from nominal in the convention of the box, as in a [Row]. Any number of goroutines
// may read one at once.
type SettingResult struct {
	Setting   decade.Setting
	Stage     Stage
	Diallings int

	// ThisDialling is the last dialling as it stands until a dial is turned: its contacts are part
	// of it.
	ThisDialling DiallingResult
	Mean         DiallingResult // the mean of the setting over all diallings that there can be
	Next         DiallingResult // the value at the next dialling
}

// A DiallingResult is one of the three results in a [SettingResult]. Any number of goroutines may
// read one at once.
type DiallingResult struct {
	Deviation uncertainty.Quantity // Ω
	Budget    *uncertainty.Budget
	Expanded  uncertainty.Expanded // as the rule of the report takes it
}

// settingResults evaluates every setting that was dialled more than once, in the order of their
// first diallings; overloads and discarded values take no part.
func (r *Report) settingResults(e *evaluation) error {
	order, at := r.diallingsOf(func(row *Row) bool { return !row.Overload && !row.Withheld })
	for _, k := range order {
		rows := at[k]
		if len(rows) < 2 {
			continue
		}
		// For the report that grows from this one: the same rows, the same result.
		r.from.settings[k] = rows
		if x, ok := e.before.result(k, rows); ok {
			r.Settings = append(r.Settings, x)
			continue
		}
		x := SettingResult{Setting: k.setting, Stage: k.stage, Diallings: len(rows)}
		last := rows[len(rows)-1]
		// Three questions, three uncertainties: what this dialling is, what the setting is on the
		// average, and what the next dialling will be. In the last the variance of a value and
		// that of the mean add (GUM 4.2.2, 4.2.3).
		mean := e.meanOf(rows, fmt.Sprintf("mean of %d diallings at %s", len(rows),
			settingLabel(k)))
		for _, of := range []struct {
			to    *DiallingResult
			name  string
			value result
		}{
			{&x.ThisDialling, "this dialling of ",
				e.values[last].asItStands(e.contact.report.Used)},
			{&x.Mean, "mean of the setting ", mean},
			{&x.Next, "next dialling of ", e.next(mean, last)},
		} {
			// By the zero and the convention of the last dialling, of which all are.
			_, deviation := e.convention(&e.readings[last], of.value)
			of.to.Deviation = deviation.quantity(of.name + k.setting.String())
			b, err := uncertainty.Evaluate(of.to.Deviation)
			if err != nil {
				return &Error{Op: "verify.Evaluate", Name: of.name + k.setting.String(), Err: err}
			}
			b.Unit = "Ω"
			of.to.Budget = b
			if of.to.Expanded, err = r.Rule.Expanded(e.withLaw(deviation, b)); err != nil {
				return err
			}
		}
		r.Settings = append(r.Settings, x)
	}
	return nil
}

// settingLabel names a setting, with its stage where it is as left: the names of sources must
// differ between the stages.
func settingLabel(k dialled) string {
	if k.stage == StageAsLeft {
		return k.setting.String() + " as left"
	}
	return k.setting.String()
}

// asItStands is a value without the variation of its contacts, which are part of what it is;
// with noise, where it is known apart from them.
func (r result) asItStands(replaced bool) result {
	// Without the contacts there would be no noise in it either.
	if replaced && r.noiseKnown == nil {
		return r // what scatters from dialling to dialling may all be noise
	}
	r.own = slices.DeleteFunc(slices.Clone(r.own), func(p private) bool { return p.contact })
	// Unless it is there already: only what diallings replaced was taken out.
	for _, p := range r.noiseKnown {
		if !slices.ContainsFunc(r.own, func(q private) bool { return q.q == p.q }) {
			r.own = append(r.own, p)
		}
	}
	return r
}

// next is the mean with the variation of one more dialling, of the kind of the last: contacts as
// it has them, at its own degrees of freedom. They are new sources, independent of those in the
// mean, so that the variances add: MSB/n/J + MSB/n. Pools keep their name, by which the degrees
// of freedom of both are counted once.
func (e *evaluation) next(mean result, last int) result {
	out := mean
	out.own = slices.Clone(mean.own)
	rd := e.readings[last]
	name := "next dialling"
	for _, p := range e.values[last].own {
		// The contacts of one more dialling, with the scatter that the last one was given.
		switch {
		case p.pool != "":
			e.addPrivate(&out, private{c: 1, u: p.u, dof: p.dof, pool: p.pool},
				p.pool+", "+name+" of "+rd.Label(), &rd, uncertainty.TypeAPooled(p.u, p.dof, 0),
				e.contact.note())
		case p.contact:
			e.addPrivate(&out, private{c: 1, u: p.u, dof: math.Inf(1)},
				"contacts, "+name+" of "+rd.Label(), &rd, uncertainty.Normal(0, p.u),
				"switching variation, new in each dialling")
		}
	}
	return out
}

// String states the three results in a sentence, those that have a budget.
func (x SettingResult) String() string {
	var s strings.Builder
	fmt.Fprintf(&s, "%v, %d diallings", x.Setting, x.Diallings)
	if x.Stage == StageAsLeft {
		s.WriteString(" as left")
	}
	for _, of := range []struct {
		name string
		r    DiallingResult
	}{
		{"this dialling", x.ThisDialling}, {"mean of the setting", x.Mean},
		{"next dialling", x.Next},
	} {
		if of.r.Budget == nil {
			continue
		}
		fmt.Fprintf(&s, "; %s %s, U = %s", of.name, signedOhms(of.r.Budget.Estimate),
			wording.Ohms(of.r.Expanded.U))
	}
	return s.String() + "."
}

// String returns what the diallings show and whether budgets use it.
func (s Switching) String() string {
	stated := "not stated"
	if s.Stated > 0 {
		stated = "stated " + wording.Ohms(s.Stated)
	}
	var out strings.Builder
	out.WriteString("Contacts: " + stated)
	switch {
	case s.DOF == 0 && len(s.Dials)+len(s.Outlying) > 0:
		// What there is follows.
	case s.DOF == 0:
		out.WriteString("; no setting was dialled twice under the same conditions")
	case s.Used:
		fmt.Fprintf(&out, "; the diallings show %s a closed contact beside noise (%s), which is "+
			"in every budget", wording.Ohms(s.Estimated), wording.Freedom(s.DOF))
	default:
		fmt.Fprintf(&out, "; the diallings show %s a closed contact beside noise (%s): no more "+
			"than stated (chi-squared %.3g, 95 %% point %.3g), which is in the budgets",
			wording.Ohms(s.Estimated), wording.Freedom(s.DOF), s.ChiSquared, s.Limit)
	}
	for _, d := range s.Dials {
		fmt.Fprintf(&out, "; dial %d scatters by %s (%s), apart from the others, in every budget "+
			"with it off zero", d.Dial+1, wording.Ohms(d.Estimated), wording.Freedom(d.DOF))
	}
	for _, x := range s.Outlying {
		where := "its own budgets"
		if x.Dial >= 0 {
			where = fmt.Sprintf("every budget with dial %d at position %d", x.Dial+1, x.Position)
		}
		fmt.Fprintf(&out, "; %v scatters by %s (%s), beyond all others (Cochran's test, 1 %%): "+
			"it is in %s and not pooled into the contacts of the others",
			x.Setting, wording.Ohms(x.Estimated), wording.Freedom(x.DOF), where)
	}
	return out.String() + "."
}
