// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
)

// This file is the variation from dialling to dialling. Settings that were dialled more than
// once show it: the variance of their diallings, pooled per closed contact over the box. It is
// in the budget of every reading.
//
// The model is a one-way analysis of variance with the setting as the factor. Dialling j of
// setting i, which makes n_i contacts again, reads
//
//	x_ij = R_i + (n_i contacts, each with the variance σ²) + (noise of one value, variance w_i)
//
// so that the mean square s_i² of its ν_i + 1 diallings has the expectation v_i = n_i·σ² + w_i. The
// R_i are not of interest here. Of several settings σ² is the most likely one, the root of
//
//	Σ ν_i·n_i·(s_i² − n_i·σ² − w_i)/v_i² = 0
//
// since the variance of s_i² is 2v_i²/ν_i: a setting read with a noise of 0.1 Ω says nothing of
// contacts of 0.1 mΩ, and without the weights its luck would be their scatter. That number serves
// for comparison and for scaling alone: taken as a variance component, cut at 0 and with effective
// degrees of freedom, it makes intervals that cover too seldom. Budgets take mean squares, scaled
// to the contacts of the setting that is asked about: where all settings are alike that is exact,
// with ν = Σν_i (Student's t). Where they are not, ν_i counts by how much of v_i are contacts.
//
// Contacts that are dirty are the exception in a box, and are looked for in this order:
//
//  1. a setting that scatters beyond all others (Cochran): its own scatter;
//  2. a dial with half or more of its settings so, or that scatters as a whole (F): its own;
//  3. the rest: the scatter of the box, where nothing is stated or more is seen than is stated.
//
// The cost is that of the groups squared, since each is compared with all others; a box has one
// group for each setting that was dialled again.

// Switching is the switching variation of a box: what is stated of its contacts, and what the
// diallings of a report show of them. Any number of goroutines may read one at once.
type Switching struct {
	Stated float64 // Ω, standard deviation of one contact; 0: not stated
	// Estimated is the same from the diallings, noise taken out; NaN where no setting was dialled
	// twice.
	Estimated float64
	DOF       int // of Estimated: diallings less settings

	// ChiSquared is the sum of squares of the diallings over what the stated contact and the
	// noise explain, Limit its 95 % point; 0 where nothing is stated.
	ChiSquared, Limit float64

	// Used: budgets take the scatter of the diallings, since it is not stated or exceeds what
	// is stated.
	Used     bool
	Dials    []DialSwitching    // dials with a scatter of their own
	Outlying []SettingSwitching // settings with a scatter of their own
}

// DialSwitching is a dial whose contacts scatter more than those of the others, by a test of
// homogeneity (probability 1 % of naming any dial of a good box) that looks at two settings of
// it or more. Any number of goroutines may read one at once.
type DialSwitching struct {
	Dial      int     // index in the box
	Estimated float64 // Ω, standard deviation of a dialling with the dial off zero
	DOF       int
}

// SettingSwitching is a setting whose diallings scatter more than those of all others, by
// Cochran's test of the largest variance (ISO 5725-2:1994, 7.3.3; probability 1 % of naming any
// setting of a good box). They are not pooled into the contacts of the others. Any number of
// goroutines may read one at once.
type SettingSwitching struct {
	Setting        decade.Setting
	Dial, Position int     // of one dial off zero: all settings with it there scatter so; else −1
	Estimated      float64 // Ω, standard deviation of a dialling
	DOF            int
}

// scatters reports whether a setting has the contacts that scatter.
func (x SettingSwitching) scatters(s decade.Setting) bool {
	return s == x.Setting || x.Dial >= 0 && s.Position(x.Dial) == x.Position
}

// scattersApart reports whether a setting has contacts that scatter more than those of all
// others.
func (s Switching) scattersApart(setting decade.Setting) bool {
	return slices.ContainsFunc(s.Outlying,
		func(x SettingSwitching) bool { return x.scatters(setting) })
}

// dialledOften is the diallings of one setting under one set of conditions: s_i², ν_i, n_i and w_i
// of the model. It is comparable, so that a report that grows can see that nothing has changed.
type dialledOften struct {
	setting  decade.Setting
	dial     int     // the only one off zero; −1
	dof      float64 // ν, diallings − 1
	variance float64 // s², of the values, Ω²
	contacts float64 // n, that were made again, mean over the diallings
	noise    float64 // w, Ω², of one value by what is known without the diallings
}

// contacts is what the diallings say.
type contacts struct {
	groups   []dialledOften    // in the order in which their settings were first read
	box      scattered         // without groups: what is stated holds
	dials    map[int]scattered // by index in the box: dials with their own
	outlying []scattered       // in the order of report.Outlying
	// Of one contact in Ω, what a dialling varies by where nothing is wrong: as stated, else what
	// the diallings allow, at most goodContact; 0 where neither says anything.
	good   float64
	report Switching
	known  int // diallings that it rests on
}

// scattered is a pooled scatter of diallings; without groups the stated one holds.
type scattered struct {
	groups  []dialledOften
	dof     float64
	contact float64 // Ω², σ², of one contact, estimated; 0 where noise explains all
}

// poolScatter pools groups: the variance of one contact is what the noise leaves.
func poolScatter(groups []dialledOften) scattered {
	p := scattered{groups: groups, contact: likeliestContact(groups, 1)}
	for _, g := range groups {
		p.dof += g.dof
	}
	return p
}

// likeliestContact is σ² in Ω², by the equation at the head of this file; 0 where the noise alone
// explains more than was seen. Mean squares are taken times a factor, 1 for the estimate itself.
func likeliestContact(groups []dialledOften, factor float64) float64 {
	excess := func(contact float64) float64 {
		sum := 0.0
		for _, g := range groups {
			expected := float64(g.contacts*contact) + g.noise
			if expected == 0 {
				// Without any noise a scatter above 0 outweighs all, and none says nothing.
				if g.variance > 0 {
					return math.Inf(1)
				}
				continue
			}
			sum += g.dof * g.contacts * (float64(g.variance*factor) - expected) /
				expected / expected
		}
		return sum
	}
	low, high := 0.0, 0.0
	for _, g := range groups {
		if g.contacts > 0 {
			high = max(high, g.variance*factor/g.contacts)
		}
	}
	if !(excess(low) > 0) {
		return 0
	}
	// At high no group has more than is expected of it, so that the root lies between. Halving 60
	// times, it is found to the last bits; a faster way could leave the interval.
	for range 60 {
		if middle := low + (high-low)/2; excess(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// meanSquare is the mean square, in Ω², of diallings that make a number of contacts, with a noise
// variance in Ω², and its degrees of freedom. Each group is scaled by the ratio of what contacts
// and noise explain here and there, so that groups like the one asked for enter as they are: with
// (n·σ² + w)/(n_i·σ² + w_i) every term has the expectation n·σ² + w. It needs at least one group.
//
// A group in which contacts are a smaller part of the variance than here, q_i < q, has the weight
// (q_i/q)² and as many of its degrees of freedom: of a noise that is known it would say a hundred
// times over that it is right, and nothing of the contacts.
func (p scattered) meanSquare(contacts, noise float64) (square, dof float64) {
	part := func(contacts, noise float64) float64 {
		if p.contact == 0 {
			return 1 // all is noise, everywhere
		}
		c := float64(contacts * p.contact)
		return c / (c + noise)
	}
	var sum float64
	here := part(contacts, noise)
	for _, g := range p.groups {
		ratio := 1.0
		if of := float64(g.contacts*p.contact) + g.noise; of > 0 {
			// Scaled from the contacts that the group closed to those that this setting closes.
			ratio = (float64(contacts*p.contact) + noise) / of
		}
		weight := g.dof
		if there := part(g.contacts, g.noise); there < here {
			weight *= there / here * (there / here)
		}
		dof += weight
		sum += float64(weight * g.variance * ratio)
	}
	if dof == 0 { // no contact was made again in any
		return noise, p.dof
	}
	return sum / dof, dof
}

// grossBound is how far a value in Ω may lie from nominal to be asked about its contacts: a slip
// of the pen says nothing about them. It is wide, since it comes before any plausibility: what is
// found there is left out later.
func grossBound(nominal float64) float64 {
	const part, contact = 0.05, 5 // of the nominal value; Ω, more than any contact that conducts
	return float64(part*nominal) + contact
}

// findContacts pools the diallings. Values must not have their contacts yet: see
// addContactVariation.
func (e *evaluation) findContacts() contacts {
	type conditions struct {
		setting            decade.Setting
		stage              Stage
		session, rangeName string
	}
	at := make(map[conditions][]int)
	var order []conditions
	for i := range e.readings {
		rd := &e.readings[i]
		nominal := rd.Setting.Nominal()
		if rd.Overload || e.contradicting[i] || e.leftOut != nil && e.leftOut[i] ||
			math.Abs(e.values[i].estimate()-nominal) > grossBound(nominal) {
			continue
		}
		// VIM 2.20: only under repeatability conditions is the scatter that of the contacts.
		k := conditions{rd.Setting, rd.Stage, rd.Session, e.ranges[i].Name}
		if at[k] == nil {
			order = append(order, k)
		}
		at[k] = append(at[k], i)
	}
	c := contacts{dials: make(map[int]scattered), report: Switching{Stated: e.spec.Contact,
		Estimated: math.NaN()}}
	for _, k := range order {
		if rows := at[k]; len(rows) > 1 {
			c.groups = append(c.groups, e.dialledGroup(rows))
			c.known += len(rows)
		}
	}
	c.good = e.spec.Contact
	// A setting dialled once has no scatter; it gets that of the others.
	if len(c.groups) > 0 {
		c.decideScatter()
		c.allowGood()
	}
	return c
}

// goodContact is what a contact in good order varies by at most, as a standard deviation in Ω:
// 0.1 mΩ to 1 mΩ (common practice).
const goodContact = 1e-3

// allowGood says what good contacts may do where nobody states it: as much as the diallings of the
// box allow (their σ² over the 2.5 % point of χ²/ν), up to goodContact. With nothing for it the
// first diallings of a sound switch, 0.2 mΩ apart with a display of 1 µΩ, would be called dirt.
func (c *contacts) allowGood() {
	if c.report.Stated > 0 {
		return
	}
	const rare = 0.025
	c.good = goodContact
	if dof := c.box.dof; dof > 0 {
		factor := dof / distuv.ChiSquared{K: dof}.Quantile(rare)
		c.good = min(goodContact, math.Sqrt(likeliestContact(c.box.groups, factor)))
	}
}

// leaveOut takes readings out of what is known of the contacts: a value that is of another setting
// would make a scatter of its own setting, or of all. It reports whether values have changed, so
// that rows must be made again.
func (e *evaluation) leaveOut(readings []bool) bool {
	if slices.Equal(readings, e.leftOut) {
		return false
	}
	e.leftOut = readings
	groups := e.contact.groups
	// Contacts are found in values without them.
	switched := slices.Clone(e.values)
	for i := range e.values {
		e.removeContacts(i)
	}
	contact := e.findContacts()
	if slices.Equal(contact.groups, groups) {
		e.values = switched
		return false
	}
	e.contact = contact
	if e.before != nil {
		e.before.forget()
	}
	for i := range e.readings {
		e.addContactVariation(i)
	}
	e.meanZeros()
	e.factors = nil // of budgets with the contacts from before
	return true
}

// removeContacts makes value i what it was before addContactVariation.
func (e *evaluation) removeContacts(i int) {
	v := &e.values[i]
	if e.unswitched != nil {
		// In the order in which they were added: a sum in another order has other last bits, and
		// a report that grows would not be that of all its readings.
		v.own = e.unswitched[i]
	} else {
		other := slices.DeleteFunc(slices.Clone(v.own), func(p private) bool { return p.contact })
		v.own = append(other, v.noiseKnown...)
	}
	v.own = slices.Clip(v.own)
	v.noiseKnown, v.scatter = nil, 0
}

// forget takes nothing more over from the values and rows of the earlier evaluation.
func (w *earlier) forget() {
	w.contacts = false
	clear(w.value)
	clear(w.row)
}

// dialledGroup is the diallings of some rows, all of one setting under one set of conditions. Each
// row is a mean of repeats, and so is its noise.
func (e *evaluation) dialledGroup(rows []int) dialledOften {
	setting := e.readings[rows[0]].Setting
	g := dialledOften{setting: setting, dof: float64(len(rows) - 1)}
	g.dial, _ = onlyDialOffZero(setting)
	first := e.values[rows[0]].stated
	values := make([]float64, len(rows))
	for k, i := range rows {
		v := e.values[i]
		// Differences from the first: of 100 kΩ read to 0.1 mΩ a variance in float64 would lose
		// the digits that matter.
		v.stated = v.stated.minus(first)
		values[k] = v.estimate()
		n := float64(len(rows))
		// Only contacts that were made again can have changed.
		g.contacts += float64(e.contactsTurned(i)) / n
		g.noise += v.noise(*e.ranges[i]) / n
	}
	if _, sd, err := uncertainty.MeanStdDev(values); err == nil {
		g.variance = sd * sd
	}
	return g
}

// noise is the variance of a value in Ω² by noise and the step of the display; with Range{} by
// noise alone.
func (r result) noise(rg Range) float64 {
	// GUM F.2.2.1: the variance of a display step.
	v := float64(rg.Resolution*rg.Resolution) / 12
	for _, p := range r.own {
		if p.noise {
			v += float64(float64(p.c*p.c) * float64(p.u*p.u))
		}
	}
	return v
}

// contactsTurned is the number of contacts that a dialling made again: of the dials that are said
// to have been turned, in the code of each position, else all that are closed, dials at 0 included.
func (e *evaluation) contactsTurned(i int) int {
	rd := &e.readings[i]
	if rd.Turned == nil {
		return rd.Setting.Contacts()
	}
	n := 0
	for _, d := range rd.Turned {
		n += rd.Setting.DialContacts(d)
	}
	return n
}

// homogeneity is the probability of separating a dial, or a setting, of a box whose dials are
// alike. It holds for the box: each single test is divided by the number of tests (Bonferroni).
const homogeneity = 0.01

// decideScatter decides whether the diallings replace what is stated, and which dials and settings
// have a scatter of their own.
func (c *contacts) decideScatter() {
	stated := c.report.Stated
	// One dirty contact first: left in, it would widen every budget and hide a dial that
	// scatters.
	box := c.separateSettings(stated)
	// Each time the worst dial alone: it is in the mean square that the others are compared with.
	for {
		dial := scatteringDial(box, stated)
		if dial < 0 {
			break
		}
		box = c.separateDial(dial, box)
	}
	if len(box) == 0 {
		return
	}
	p := poolScatter(box)
	c.report.Estimated, c.report.DOF = math.Sqrt(p.contact), int(p.dof)
	c.report.Used = true
	if stated > 0 {
		c.report.ChiSquared, c.report.Limit = chiSquared(box, stated)
		// What is stated rests on more than a few diallings and stays unless they contradict it
		// (a test of a variance by χ²).
		c.report.Used = c.report.ChiSquared > c.report.Limit
	}
	if c.report.Used {
		c.box = p
	}
}

// separateDial gives a dial its own scatter and returns the groups of the others. What is reported
// is the standard deviation of a dialling under the conditions of its first group.
func (c *contacts) separateDial(dial int, groups []dialledOften) []dialledOften {
	var own, rest []dialledOften
	for _, g := range groups {
		if g.dial == dial {
			own = append(own, g)
		} else {
			rest = append(rest, g)
		}
	}
	p := poolScatter(own)
	c.dials[dial] = p
	square, _ := p.meanSquare(own[0].contacts, own[0].noise)
	c.report.Dials = append(c.report.Dials, DialSwitching{Dial: dial,
		Estimated: math.Sqrt(square), DOF: int(p.dof)})
	return rest
}

// separateSettings gives settings that scatter more than all others their own scatter and
// returns the rest: one bad pair says nothing about the contacts of other settings. Where it is
// two settings of a dial or more, and half of those that were dialled again, it is the dial.
func (c *contacts) separateSettings(stated float64) []dialledOften {
	rest := c.groups
	var out []dialledOften
	for {
		// One after the other, the largest first: a bad setting hides the next one in the mean
		// of the others.
		k := outlyingGroup(rest, stated)
		if k < 0 {
			break
		}
		out = append(out, rest[k])
		rest = slices.Delete(slices.Clone(rest), k, k+1)
	}
	// Of the outlying settings some may be those of one bad dial.
	count := func(groups []dialledOften, dial int) int {
		n := 0
		for _, g := range groups {
			if g.dial == dial {
				n++
			}
		}
		return n
	}
	for _, g := range out {
		if _, done := c.dials[g.dial]; done {
			continue
		}
		if n := count(out, g.dial); g.dial >= 0 && n >= 2 && n >= count(rest, g.dial) {
			rest = c.separateDial(g.dial, slices.Concat(rest, slices.DeleteFunc(slices.Clone(out),
				func(x dialledOften) bool { return x.dial != g.dial })))
			continue
		}
		p := poolScatter([]dialledOften{g})
		c.outlying = append(c.outlying, p)
		x := SettingSwitching{Setting: g.setting, Dial: -1, Estimated: math.Sqrt(g.variance),
			DOF: int(g.dof)}
		if g.dial >= 0 {
			x.Dial, x.Position = g.dial, g.setting.Position(g.dial)
		}
		c.report.Outlying = append(c.report.Outlying, x)
	}
	return rest
}

// outlyingGroup finds the group that scatters beyond all others, −1 where none does: by Cochran's
// test, or by χ² against what is stated where there are no others. What is stated is never
// taken for less. Of one group without a stated contact nothing can be said.
func outlyingGroup(groups []dialledOften, stated float64) int {
	best, least := -1, homogeneity
	for k, g := range groups {
		own := poolScatter(groups[k : k+1])
		others := slices.Delete(slices.Clone(groups), k, k+1)
		p := 1.0
		switch {
		case len(others) > 0:
			o := poolScatter(others)
			// Others that agree by chance must not make a sound setting look dirty: at least what
			// is stated.
			floor := float64(g.contacts*stated*stated) + g.noise
			theirs, dof := o.meanSquare(g.contacts, g.noise)
			if theirs = max(theirs, floor); theirs > 0 {
				p = cochran(g.variance/theirs, own.dof, dof, len(groups))
			}
		case stated > 0:
			chi, _ := chiSquared(groups, stated)
			p = distuv.ChiSquared{K: own.dof}.Survival(chi)
		}
		if p < least {
			best, least = k, p
		}
	}
	return best
}

// cochran is the probability that the largest of a number of variances of one law exceeds the
// mean of the others by a ratio or more (ISO 5725-2:1994, 7.3.3): its bound by F, which is what
// the printed critical values are and holds for any degrees of freedom. Cochran's statistic C is
// the largest over the sum, so that of p groups of equal size the ratio is (p − 1)·C/(1 − C). As a
// bound it may exceed 1.
func cochran(ratio, dof, dofOthers float64, groups int) float64 {
	// Times the number of groups (Bonferroni): the largest variance of many was picked.
	return float64(groups) * distuv.F{D1: dof, D2: dofOthers}.Survival(ratio)
}

// chiSquared is the sum of squares of groups over what is stated, Σ ν·s²/(n·σ² + w) with the stated
// contact as σ, and its 95 % point.
func chiSquared(groups []dialledOften, stated float64) (chi, limit float64) {
	var dof float64
	for _, g := range groups {
		dof += g.dof
		chi += g.dof * g.variance / (float64(g.contacts*stated*stated) + g.noise)
	}
	return chi, distuv.ChiSquared{K: dof}.Quantile(1 - scatterAlarm)
}

// scatteringDial finds the dial whose diallings scatter most beyond the others, −1 where none
// does: by F against the others, or by χ² against what is stated where there are none. Settings
// with several dials off zero, and zero itself, are always among the others.
func scatteringDial(groups []dialledOften, stated float64) int {
	by := make(map[int][]dialledOften)
	var dials []int
	for _, g := range groups {
		if g.dial >= 0 && by[g.dial] == nil {
			dials = append(dials, g.dial)
		}
		by[g.dial] = append(by[g.dial], g)
	}
	slices.Sort(dials)
	best, least := -1, homogeneity/float64(max(1, len(dials)))
	for _, d := range dials {
		if len(by[d]) < 2 {
			continue // one setting says nothing about the others of its dial
		}
		own := poolScatter(by[d])
		var others []dialledOften
		for _, g := range groups {
			if g.dial != d {
				others = append(others, g)
			}
		}
		p := 1.0
		n, noise := by[d][0].contacts, by[d][0].noise
		switch {
		case len(others) > 0:
			o := poolScatter(others)
			mine, dofMine := own.meanSquare(n, noise)
			theirs, dofTheirs := o.meanSquare(n, noise)
			// Others that agree by chance, or on ranges too coarse to show their contacts,
			// scatter by what is stated at least: else a sound dial read on a finer range would
			// stand apart.
			if theirs = max(theirs, float64(n*stated*stated)+noise); theirs > 0 {
				p = distuv.F{D1: dofMine, D2: dofTheirs}.Survival(mine / theirs)
			}
		case stated > 0:
			chi, _ := chiSquared(by[d], stated)
			p = distuv.ChiSquared{K: own.dof}.Survival(chi)
		}
		if p < least {
			best, least = d, p
		}
	}
	return best
}

// switchingName begins the name of the source of what diallings show.
const switchingName = "diallings at "

// addContactVariation adds the variation of the contacts to value i, as sources of this dialling
// alone: what is stated, or what the diallings show, in which the noise of the values is. An
// example: six closed contacts of 100 µΩ each vary by √6·100 µΩ = 245 µΩ.
func (e *evaluation) addContactVariation(i int) {
	rd, v := &e.readings[i], &e.values[i]
	if rd.Overload {
		return
	}
	if before, ok := e.before.valueWithContacts(i); ok {
		*v = before
		return
	}
	n := rd.Setting.Contacts()
	stated := e.spec.Contact * math.Sqrt(float64(n))
	v.scatter = math.Sqrt(float64(float64(n)*square(e.contact.good)) + v.noise(Range{}))
	// What diallings show contains the noise of their values, so that the noise goes out where
	// they come in.
	estimates := e.contact.estimates(rd.Setting, float64(n), v.noise(*e.ranges[i]))
	if len(estimates) == 0 {
		if stated > 0 {
			e.addPrivate(v, private{c: -1, u: stated, dof: math.Inf(1), contact: true},
				"contacts at "+rd.Label(), rd, e.lawOnce(lawKey{false, stated}),
				"switching variation, new in each dialling")
		}
		return
	}
	var other []private
	for _, p := range v.own {
		if p.noise {
			v.noiseKnown = append(v.noiseKnown, p)
		} else {
			other = append(other, p)
		}
	}
	v.own = other
	for _, x := range estimates {
		if x.u > 0 {
			e.addPrivate(v, private{c: -1, u: x.u, dof: x.dof, pool: x.pool, contact: true},
				switchingName+rd.Label()+x.of+", "+e.ranges[i].Name, rd,
				uncertainty.TypeAPooled(x.u, x.dof, 0), e.contact.note())
		}
	}
}

// scatterEstimate is a standard deviation of a dialling from diallings.
type scatterEstimate struct {
	of     string  // what the name of its source adds to "diallings at …"; empty: of the box
	pool   string  // see uncertainty.Source: sources of one pool have one estimate in common
	u, dof float64 // Ω; while estimates are sorted and subtracted u is a variance, Ω²
}

// estimates are the standard deviations that a dialling of a setting has by the diallings: that
// of the box, or in its place the largest of the settings and dials off zero that have their own,
// and what the others of those have beyond it. n is the number of closed contacts, noise the
// variance of one value in Ω². There is none where what is stated holds.
//
// With 9 µΩ² common to the box, a dial with 25 µΩ² and one with 16 µΩ² give 25 and 16 − 9 = 7, in
// all 32 µΩ²: what the two have beyond the box, 16 and 7, and the box once.
func (c *contacts) estimates(s decade.Setting, n, noise float64) []scatterEstimate {
	var out []scatterEstimate
	common, dof := 0.0, 0.0
	if c.box.dof > 0 {
		common, dof = c.box.meanSquare(n, noise)
	}
	add := func(p scattered, of, pool string) {
		square, dof := p.meanSquare(n, noise)
		out = append(out, scatterEstimate{of, pool, square, dof})
	}
	for k, x := range c.report.Outlying {
		if x.scatters(s) {
			of := ""
			if s != x.Setting {
				of = ", as at " + x.Setting.String()
			}
			add(c.outlying[k], of, "diallings of "+x.Setting.String())
		}
	}
	for _, d := range c.report.Dials {
		if s.Position(d.Dial) > 0 {
			add(c.dials[d.Dial], fmt.Sprintf(", dial %d", d.Dial+1),
				fmt.Sprintf("diallings of dial %d", d.Dial+1))
		}
	}
	slices.SortStableFunc(out, func(a, b scatterEstimate) int { return cmp.Compare(b.u, a.u) })
	for i := range out {
		// Each estimate contains what is common; taken from two it would count twice.
		if i > 0 {
			out[i].u = max(0, out[i].u-common)
		}
	}
	if len(out) == 0 && c.box.dof > 0 {
		out = append(out, scatterEstimate{"", "diallings", common, dof})
	}
	for i := range out {
		out[i].u = math.Sqrt(out[i].u)
	}
	return out
}

// note says in a budget what the scatter rests on.
func (c *contacts) note() string {
	return fmt.Sprintf("variance of %d diallings of %s", c.known,
		wording.Plural(len(c.groups), "setting"))
}

// meanOf is the mean of readings, by their indexes, each with the same weight. The errors of single
// readings become one source of the mean, and those of each pool one more; what the readings share
// stays what it is, with the mean of its coefficients. Of m readings the u of a single source is
// √Σ(c·u)²/m.
func (e *evaluation) meanOf(at []int, name string) result {
	if len(at) == 1 {
		return e.values[at[0]]
	}
	var out result
	place := make(map[uncertainty.Quantity]int)
	// While they are summed, u is Σ(c·u)² in Ω² and c is Σ(c·u)⁴/ν in Ω⁴. The first kind of source
	// has the empty pool.
	var pools []private
	for _, i := range at {
		v := e.values[i]
		out.stated = out.stated.plus(v.stated)
		// The order in which sources are met first, not that of a map: the same bits each time.
		for k, q := range v.q {
			p, ok := place[q]
			if !ok {
				p = len(out.q)
				place[q] = p
				out.with(0, q)
			}
			out.c[p] += v.c[k]
		}
		for _, x := range v.own {
			k := slices.IndexFunc(pools, func(p private) bool { return p.pool == x.pool })
			if k < 0 {
				k = len(pools)
				pools = append(pools, private{pool: x.pool, dof: x.dof})
			}
			// On ranges of different noise the same diallings say more and less of the contacts.
			pools[k].dof = min(pools[k].dof, x.dof)
			square := float64(float64(x.c*x.c) * float64(x.u*x.u))
			pools[k].u += square
			if x.pool == "" {
				// Welch and Satterthwaite: Σ u⁴/ν (GUM G.4.1).
				pools[k].c += float64(square*square) / x.dof // for the degrees of freedom
			}
			// Some have an estimate that is not 0, such as a leak: it goes into the value.
			out.stated = out.stated.plus(decimal(float64(x.c * x.q.Estimate())))
		}
	}
	out.stated = out.stated.per(len(at))
	n := float64(len(at))
	for k := range out.c {
		out.c[k] /= n
	}
	rd := e.readings[at[0]]
	for _, p := range pools {
		if p.u == 0 {
			continue
		}
		u := math.Sqrt(p.u) / n
		switch {
		// What rests on one pooled standard deviation keeps its degrees of freedom, however many
		// are averaged.
		case p.pool != "":
			e.addPrivate(&out, private{c: 1, u: u, dof: p.dof, pool: p.pool}, p.pool+", "+name, &rd,
				uncertainty.TypeAPooled(u, p.dof, 0), e.contact.note())
		case p.c > 0:
			dof := float64(p.u*p.u) / p.c
			e.addPrivate(&out, private{c: 1, u: u, dof: dof}, "errors of single readings, "+name,
				&rd,
				uncertainty.TypeAPooled(u, dof, 0),
				"noise, resolution and what else is of one reading")
		default:
			e.addPrivate(&out, private{c: 1, dof: math.Inf(1)}, "errors of single readings, "+name,
				&rd, uncertainty.Normal(0, u), "noise, resolution and what else is of one reading")
		}
	}
	return out
}

// FromDiallings reports whether a component of the budget of a row is the scatter that the
// diallings of the report show. A search for its cause takes Row.StatedScatter instead: a bad
// contact cannot explain itself.
func FromDiallings(c uncertainty.Component) bool {
	return strings.HasPrefix(c.Name, switchingName)
}

// byStatement is the expanded uncertainty in Ω, at the coverage probability p, of a difference of
// rows by what is stated of contacts and noise, where the budget has what the diallings show: the
// diallings cannot explain themselves. b is the budget of the difference; the stated scatter of
// each row, once, takes the place of what its diallings show.
func byStatement(b *uncertainty.Budget, p float64, rows ...*Row) (float64, error) {
	if !slices.ContainsFunc(b.Components, FromDiallings) {
		e, err := b.ExpandedAt(p)
		return e.U, err
	}
	variance := 0.0
	for _, c := range b.Components {
		if !FromDiallings(c) {
			variance += float64(c.Contribution * c.Contribution)
		}
	}
	for _, row := range rows {
		variance += float64(row.StatedScatter * row.StatedScatter)
	}
	// What is stated is taken as known (GUM G.4.3: infinite degrees of freedom).
	k, err := uncertainty.CoverageFactor(p, math.Inf(1))
	return k * math.Sqrt(variance), err
}
