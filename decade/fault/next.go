// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The next reading. The leading hypotheses i have the probabilities p_i among each other, and
// each expects another normal distribution of what a setting x would read. A setting is worth
//
//	W(x) = Σ_{i<j} p_i·p_j·(1 − ρ_ij(x)), over pairs that are not repaired alike,
//
// with ρ the overlap of the two distributions: about the probability that two hypotheses drawn
// by their odds are different ones and that the reading tells them apart. The chance of taking
// one of two equally likely ones for the other is ρ/2 at most (T. Kailath, IEEE Trans. Commun.
// Technol. 15, 1967, from memory). The expected information of a reading is the classical
// measure (D. V. Lindley, Ann. Math. Stat. 27, 1956, from memory); it takes an integral over a
// mixture for each setting, and it rewards a reading for telling a short of an element from a
// wrong part in its place, which nobody needs before the box is open.
//
// Costs: each of k settings is solved once for each of l leaders, at most 24, and once healthy;
// the overlaps are k·l²/2 exponentials.
//
// What comes when is decided in this order, from what costs a minute to what changes the box:
//
//   nothing            a healthy box beyond doubt
//   a known resistor   the meter may be it: a fifth of the odds of the leaders or more
//   a reading          one tells 15 % of what a perfect one would
//   the same once more one dialling is all that speaks for the leader
//   clean, open        no reading tells more

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

const (
	// nearlyCertain is the probability from which one cause, or a healthy box, is all
	// there is to say.
	nearlyCertain = 0.99
	// leastWorth is the probability of telling two causes apart below which a reading is
	// not worth its time.
	leastWorth = 0.03
	// leastPart is the same as a part of what a perfect reading would tell.
	leastPart = 0.15
	// perhapsMeter is the probability from which the meter is checked first: a known
	// resistor takes a minute.
	perhapsMeter = 0.2
	// mostDiallings is how often a setting is dialled at most: what two agreeing or three
	// differing readings did not tell, more will not.
	mostDiallings = 3
)

// nextStep chooses what to do next: the reading that separates the leading causes best; where
// none does, what is cheap before the box is opened. list is sorted, best first, and has a
// hypothesis with a fault where d is not healthy. A step that is no reading has its text here;
// others get it from setText.
func (s *search) nextStep(d *Diagnosis, list []*hypothesis) Step {
	if d.Healthy && d.Probability > nearlyCertain {
		return Step{Act: ActNothing, Text: "Nothing more to read: no fault is nearly as probable " +
			"as a healthy box."}
	}
	// Up to 24 hypotheses, the healthy box among them where it is near.
	leaders := likely(list)
	// The meter first: a minute with a known resistor may save opening a sound box.
	if step, ok := s.checkMeter(leaders); ok {
		return step
	}
	if step, ok := s.bestReading(newProbe(s.model.layout), leaders); ok {
		return step
	}
	if d.Healthy {
		return Step{Act: ActNothing, Text: "No further reading at the terminals settles the " +
			"remaining doubt."}
	}
	lead := list[slices.IndexFunc(list,
		func(h *hypothesis) bool { return h.firstKind() != KindHealthy })]
	// Before the box is opened: one dialling may have been a recording error, and to repeat it
	// costs nothing.
	if x, ok := s.dialledOnce(lead); ok {
		return Step{Act: ActDialAgain, Setting: x}
	}
	if x, ok := s.diallingBeside(lead); ok {
		return Step{Act: ActDialAgain, Setting: x}
	}
	return s.lookInside(&d.Causes[0], lead)
}

// checkMeter proposes a known resistor, or another range, where the meter may be the cause, alone
// or as one of two. Odds are counted among the leaders. The setting of the step is the one that the
// suspected fault of the meter changes most, on whose range the resistor is read; no step where
// that range was checked.
func (s *search) checkMeter(leaders []*hypothesis) (Step, bool) {
	total, meter := 0.0, 0.0
	var first *hypothesis
	var suspect Fault
	for _, h := range leaders {
		// The score is −2·ln of the posterior, so that differences of it are odds.
		p := math.Exp((leaders[0].score - h.score) / 2)
		total += p
		i := slices.IndexFunc(h.faults, func(f Fault) bool { return f.Kind.maybeMeter() })
		if i < 0 {
			continue
		}
		meter += p
		if first == nil {
			first, suspect = h, h.faults[i]
		}
	}
	// A known resistor tells only of the meter; below these odds a reading of the box tells more.
	if first == nil || meter < perhapsMeter*total {
		return Step{}, false
	}
	x, rg, ok := s.shownOn(first, suspect)
	if !ok || s.meterChecked(rg, suspect.Kind) {
		return Step{}, false
	}
	step := Step{Act: ActKnownResistor, Setting: x}
	if rg != absent && rg < len(s.model.meter) {
		step.Range = s.model.meter[rg].name
	}
	return step, true
}

// shownOn finds the setting that shows a fault of the meter most, with the range that it was read
// on: of a range one that was read there, of the whole meter the one that the hypothesis changes
// most. ok is false where no setting shows it.
func (s *search) shownOn(h *hypothesis, f Fault) (x decade.Setting, rg int, ok bool) {
	rg = absent
	if f.A.Part != PartRange {
		list := s.affectedSettings(h)
		if len(list) == 0 {
			return x, rg, false
		}
		if k := slices.Index(s.model.settings, list[0]); k >= 0 && k < len(s.model.rangeOf) {
			rg = s.model.rangeOf[k]
		}
		return list[0], rg, true
	}
	most := 0.0
	for k, y := range s.model.settings {
		if k >= len(s.model.rangeOf) || s.model.rangeOf[k] != f.A.Number-1 {
			continue
		}
		shift := math.Abs(f.Value)
		if f.Kind == KindMeterGain {
			shift *= y.Value()
		}
		for _, i := range s.diallings[k] {
			if v := shift / math.Sqrt(s.evidence.covariance.At(i, i)); v > most {
				most, x, ok = v, y, true
			}
		}
	}
	return x, f.A.Number - 1, ok
}

// meterChecked reports whether a known resistor has told of a range what is to be known: of its
// zero, or of its gain. A standard in the upper part of the range takes its gain off the list of
// causes, one in the lower part its zero, which are the signs here.
func (s *search) meterChecked(rg int, k Kind) bool {
	if rg < 0 || rg >= len(s.model.meter) {
		return false
	}
	if k == KindMeterZero {
		return !s.model.meter[rg].zero
	}
	return !s.model.meter[rg].gain
}

// maybeMeter reports whether a fault of this kind may be one of the meter. What nothing
// explains may be, too.
func (k Kind) maybeMeter() bool {
	return k == KindBoxDrift || k == KindMeterGain || k == KindMeterZero || k == KindUnexplained
}

// dialledOnce reports whether all that speaks for a hypothesis is one dialling. By its settings,
// not by its readings: a setting that was read five times in one dialling was dialled once.
func (s *search) dialledOnce(h *hypothesis) (decade.Setting, bool) {
	x := s.affectedSettings(h)
	if len(x) != 1 || s.timesRead(x[0]) != 1 {
		return decade.Setting{}, false
	}
	return x[0], true
}

// diallingBeside is the setting of one dialling that differs beside another fault: to dial it again
// costs a minute, and says whether there is a second fault at all before the box is opened. ok is
// false where there is none, or where it was dialled often enough.
func (s *search) diallingBeside(h *hypothesis) (x decade.Setting, ok bool) {
	if len(h.faults) < 2 {
		return x, false
	}
	for _, f := range h.faults {
		k := slices.Index(s.model.row, f.A.Number-1)
		if f.Kind == KindDialling && k >= 0 && !s.exhausted(s.model.settings[k]) {
			return s.model.settings[k], true
		}
	}
	return x, false
}

// lookInside is the step when no further reading tells more. c is the leading cause and lead its
// first hypothesis. Cleaning comes before opening wherever a member of the class is a contact,
// unless a slipped knob leads: it is cheap, and what it does not change is no contact. It is an
// adjustment (VIM 3.11, from memory), so that the readings as found are kept.
func (s *search) lookInside(c *Cause, lead *hypothesis) Step {
	step := Step{Act: ActOpen}
	if x := s.affectedSettings(lead); len(x) > 0 {
		step.Setting = x[0]
	}
	switch c.Kind {
	// checkMeter comes before, and proposes a known resistor where none was read.
	case KindBoxDrift:
		return Step{Act: ActNothing, Text: "Nothing more to read: the meter was checked, so the " +
			"whole box is off."}
	case KindUnexplained:
		return Step{Act: ActNothing, Text: "Nothing more to read: none of the faults that are " +
			"searched for explains the readings. Compare the record with the description of the " +
			"box and its class, tighten the leads, and take all readings once more from the " +
			"beginning."}
	case KindDialling:
		if step.Setting.IsValid() && !s.exhausted(step.Setting) {
			return Step{Act: ActDialAgain, Setting: step.Setting}
		}
		return Step{Act: ActNothing, Text: "Nothing more to read: one dialling differed, and " +
			"later ones do not."}
	// A leak to the outside is tested without opening anything.
	case KindTerminalLeak, KindCaseLeak:
		step.Act = ActInsulation
	}
	// A knob is looked at before contacts are cleaned: that changes nothing, and takes no tool.
	if c.Kind != KindSlip && slices.ContainsFunc(c.members(), func(faults []Fault) bool {
		return slices.ContainsFunc(faults, func(f Fault) bool { return f.Kind.isContact() })
	}) {
		step.Act = ActClean
	}
	for _, faults := range c.members() {
		for _, f := range faults {
			step.addPlaces(c.Kind, f)
		}
	}
	// No place at all is known where all members are of the whole box.
	if x, ok := s.halfway(); ok && step.Act == ActOpen && len(step.Places) == 0 {
		return Step{Act: ActDial, Setting: x}
	}
	return step
}

// addPlaces adds the places of one member of a cause of the leading kind k to those to look at.
func (s *Step) addPlaces(k Kind, f Fault) {
	// Where an element or a contact leads, the nodes of bridges would only confuse.
	if s.Act == ActClean && !f.Kind.isContact() || len(s.Places) > 0 &&
		f.A.Part == PartTap && s.Places[0].Part != PartTap {
		return
	}
	// Series resistance may sit anywhere in the path: every dial is exercised then, and
	// not the one contact that the readings do not tell from it.
	if s.Act == ActClean && k.isInSeries() {
		return
	}
	for _, p := range []Place{f.A, f.B} {
		// A row of the readings or a range of the meter is nothing to look at in the box.
		outside := p.Part == PartBox || p.Part == PartNone || p.Part == PartReading ||
			p.Part == PartRange
		if len(s.Places) < mostPlacesNamed && !outside && !slices.Contains(s.Places, p) {
			s.Places = append(s.Places, p)
		}
	}
}

// halfway is the middle of the widest gap between the positions read of the dial that is
// farthest out of its class: where nobody knows at what to look, that dial is read closer, at a
// few positions, before the box is opened. ok is false where no dial was read alone, where four
// of its positions were, or where no gap is left between those. With 0, 3 and 10 read of a dial
// it is 6.
func (s *search) halfway() (decade.Setting, bool) {
	const enough = 4 // positions
	out := s.farthestOut()
	if len(out) == 0 {
		return decade.Setting{}, false
	}
	d := slices.IndexFunc(out[0].Positions(), func(p int) bool { return p > 0 })
	best, from, widest, read := 0, 0, 1, 0
	// from begins at 0, which counts as read: the zero of the box is.
	for p := 1; p <= s.model.layout.decades[d].Positions; p++ {
		y, err := s.model.layout.box.Zero().With(d, p)
		if err != nil || s.timesRead(y) == 0 {
			continue
		}
		read++
		if p-from > widest {
			widest, best = p-from, (from+p)/2
		}
		from = p
	}
	for !s.model.layout.decades[d].HasPosition(best) {
		best-- // down to 0 at most
	}
	y, err := s.model.layout.box.Zero().With(d, best)
	return y, err == nil && best > 0 && read < enough
}

// farthestOut lists the settings of one dial alone that were read, by how many times the limits
// of their class they are off. Deviations count at their full size, residual and meter included:
// it is a choice of where to look, not a verdict.
func (s *search) farthestOut() []decade.Setting {
	times := make(map[decade.Setting]float64)
	var out []decade.Setting
	for i, o := range s.evidence.observations {
		x := s.model.settings[o.setting]
		limit := x.ClassLimit()
		// One dial off zero: what two dials read says nothing of either.
		if offZero(x) != 1 || limit == 0 {
			continue
		}
		if times[x] == 0 {
			out = append(out, x)
		}
		times[x] = max(times[x], math.Abs(s.byDialling.deviation[i])/limit)
	}
	slices.SortStableFunc(out,
		func(a, b decade.Setting) int { return cmp.Compare(times[b], times[a]) })
	return out
}

// mostPlacesNamed is the number of places that a step names.
const mostPlacesNamed = 3

// isContact reports whether a fault of this kind may go away when contacts are cleaned and
// exercised.
func (k Kind) isContact() bool {
	return k == KindContact || k == KindOpenContact || k == KindSeries || k == KindOpenPath
}

// isInSeries reports whether a fault of this kind may sit anywhere in the path.
func (k Kind) isInSeries() bool { return k == KindSeries || k == KindOpenPath }

// dialled counts the diallings of each setting in the last stage of a report. One that was
// discarded as not plausible counts twice: more would not be used either. One entry for each row
// of the report, since a row is one dialling.
func dialled(r *verify.Report) map[decade.Setting]int {
	out := make(map[decade.Setting]int)
	stage := lastStage(r)
	for i := range r.Rows {
		if r.Rows[i].Reading.Stage == stage {
			out[r.Rows[i].Setting]++
			if r.Rows[i].Discarded {
				out[r.Rows[i].Setting]++
			}
		}
	}
	return out
}

// timesRead counts the diallings of a setting. Where no report was read (simulations inside the
// package) the observations themselves are counted.
func (s *search) timesRead(x decade.Setting) int {
	if s.evidence.dialled != nil {
		return s.evidence.dialled[x]
	}
	n := 0
	// A setting has an entry for each range and for an odd dialling: it is compared, not its index.
	for _, o := range s.evidence.observations {
		if s.model.settings[o.setting] == x {
			n++
		}
	}
	// Above range it was dialled all the same.
	for _, o := range s.evidence.overloads {
		if s.model.settings[o.setting] == x {
			n++
		}
	}
	return n
}

// exhausted reports whether a further dialling of a setting would tell what its readings told
// already. Three diallings in any case; two where they agree within three standard uncertainties
// of their difference.
func (s *search) exhausted(x decade.Setting) bool {
	n := s.timesRead(x)
	if n >= mostDiallings {
		return true
	}
	if n < 2 {
		return false
	}
	var rows []int
	for i, o := range s.evidence.observations {
		if s.model.settings[o.setting] == x {
			rows = append(rows, i)
		}
	}
	for i, a := range rows {
		for _, b := range rows[:i] {
			v := s.evidence.covariance.At(a, a) + s.evidence.covariance.At(b, b) -
				2*s.evidence.covariance.At(a, b)
			// GUM 5.2.2 of a difference; beyond three standard uncertainties a third dialling
			// decides.
			if d := s.evidence.observations[a].ohms -
				s.evidence.observations[b].ohms; d*d > 9*max(v, 0) {
				return false
			}
		}
	}
	return true
}

// candidates lists settings that the next reading may be taken at: those read, every position
// alone of the dials that the leaders are about, the other dials at their ends, and, where two
// dials may touch, positions of both. Each setting is there once, in an order that does not
// depend on the odds of the leaders but for their dials: of equals the first one is read.
func (s *search) candidates(leaders []*hypothesis) []decade.Setting {
	var out []decade.Setting
	box := s.model.layout.box
	addCandidate := func(x decade.Setting, err error) {
		if err == nil && !slices.Contains(out, x) && !s.exhausted(x) {
			out = append(out, x)
		}
	}
	for _, x := range s.model.settings {
		addCandidate(x, nil)
	}
	addCandidate(box.Zero(), nil)
	dials := concerned(leaders)
	for d, dec := range s.model.layout.decades {
		from := dec.Positions
		if slices.Contains(dials, d) {
			from = 1
		}
		for p := from; p <= dec.Positions; p++ {
			addCandidate(box.Zero().With(d, p))
		}
	}
	if !slices.ContainsFunc(leaders, (*hypothesis).ofTwoDials) {
		return out
	}
	for _, c := range dials[:min(2, len(dials))] {
		for d := range s.model.layout.decades {
			if d == c {
				continue
			}
			for p := 1; p <= s.model.layout.decades[c].Positions; p++ {
				// Lowest and highest position of the other dial: between them the effect of a
				// bridge lies between.
				for _, q := range []int{1, s.model.layout.decades[d].Positions} {
					x, err := box.Zero().With(c, p)
					if err == nil {
						addCandidate(x.With(d, q))
					}
				}
			}
		}
	}
	return out
}

// ofTwoDials reports whether what a hypothesis does to one dial depends on another. Only then
// are settings with two dials off zero worth a solution.
func (h *hypothesis) ofTwoDials() bool {
	return slices.ContainsFunc(h.faults, func(f Fault) bool {
		return f.Kind == KindDialBridge || f.Kind == KindCaseLeak || f.Kind == KindTerminalLeak
	})
}

// concerned lists up to four dials that the leaders are about. They come in the order of the
// odds. Four dials of ten positions are forty candidates; a leader beyond them is rarely what
// the next reading is about.
func concerned(leaders []*hypothesis) []int {
	const most = 4
	var out []int
	for _, h := range leaders {
		for _, f := range h.faults {
			// Both ends: a bridge from dial to dial shows at positions of either.
			for _, p := range []Place{f.A, f.B} {
				if p.ofDial() && !slices.Contains(out, p.Dial) && len(out) < most {
					out = append(out, p.Dial)
				}
			}
		}
	}
	return out
}

// ofDial reports whether the place belongs to a dial.
func (p Place) ofDial() bool {
	switch p.Part {
	case PartElement, PartTap, PartWiper, PartPosition, PartDial:
		return true
	}
	return false
}

// likely are the hypotheses whose score is near the best, up to a number of them. 10 behind is
// e⁻⁵, 0.7 % of the odds of the best. list is sorted and not empty.
func likely(list []*hypothesis) []*hypothesis {
	const most, near = 24, 10
	for i, h := range list {
		if i == most || h.score > list[0].score+near {
			return list[:i]
		}
	}
	return list
}

// bestReading finds the setting whose reading tells the leaders apart best: where the sum
// over pairs of hypotheses, weighted with both probabilities, of the probability that the
// reading tells the two apart is largest. ok is false where no reading at the terminals is
// worth its time.
//
// A setting is worth reading from 0.03, or from 15 % of what a reading would tell that separates
// all leaders, whichever is more. Where the leaders are one hypothesis there is nothing to tell
// apart.
func (s *search) bestReading(pr *probe, leaders []*hypothesis) (step Step, ok bool) {
	if len(leaders) < 2 {
		return step, false
	}
	settings := s.candidates(leaders)
	weights := shares(leaders)
	perfect := perfectWorth(leaders, weights)
	worth := s.worths(pr, leaders, settings, weights)
	best := max(leastWorth, leastPart*perfect)
	for k, x := range settings {
		// The simpler of two settings that tell alike is read.
		if w := worth[k] * (1 - costOfDial*float64(offZero(x)-1)); w > best*(1+1e-9) {
			best, ok = w, true
			step = Step{Act: ActDial, Setting: x}
			if slices.Contains(s.model.settings, x) {
				step.Act = ActDialAgain
			}
		}
	}
	return step, ok
}

// shares are the probabilities among leaders. They are exp(−score/2) to a sum of 1, counted from
// the best so that no exponential overflows.
func shares(leaders []*hypothesis) []float64 {
	p := make([]float64, len(leaders))
	total := 0.0
	for i, h := range leaders {
		p[i] = math.Exp((leaders[0].score - h.score) / 2)
		total += p[i]
	}
	for i := range p {
		p[i] /= total
	}
	return p
}

// perfectWorth is the worth of a reading that tells apart all leaders with different repairs. It is
// the largest W that any setting can have, ρ = 0 for all pairs.
func perfectWorth(leaders []*hypothesis, weights []float64) float64 {
	sum := 0.0
	for i, h := range leaders {
		for j, g := range leaders[:i] {
			if !h.repairedWith(g) {
				sum += weights[i] * weights[j]
			}
		}
	}
	return sum
}

// repairedWith reports whether the same part is looked at for both hypotheses: to tell a short
// of an element from a wrong one is not worth a reading. By places and not by values: whether an
// element is 2 Ω or 3 Ω off is no reason for a reading.
func (h *hypothesis) repairedWith(g *hypothesis) bool {
	// To know that there is a second fault is worth a reading, whatever the first one is.
	if len(h.faults) != len(g.faults) {
		return false
	}
	for i, f := range h.faults {
		if f.part() != g.faults[i].part() {
			return false
		}
	}
	return true
}

// lookedAt is what one looks at for a fault.
type lookedAt struct {
	kind Kind
	a, b Place
}

// part is the place and the way in which one looks at it. Whatever is wrong with one element is one
// place to look at, whatever is in series with everything another; a bridge is the two nodes.
func (f Fault) part() lookedAt {
	switch f.Kind {
	case KindDrift, KindWrongPart, KindShorted, KindUnsteady, KindElementLeak, KindOpenElement:
		return lookedAt{KindDrift, f.A, Place{}}
	case KindContact, KindOpenContact:
		return lookedAt{KindContact, f.A, Place{}}
	case KindSeries, KindOpenPath:
		return lookedAt{KindSeries, Place{}, Place{}}
	case KindSlip: // by how far the knob is turned back
		return lookedAt{KindSlip, f.A, Place{Number: int(f.Value)}}
	}
	return lookedAt{f.Kind, f.A, f.B}
}

// worths is W of each setting: the probability that two of the leaders, drawn by their odds, are
// repaired differently and are told apart by a reading there. The result has an entry for each
// setting; 0 where the work was stopped, so that none is taken.
func (s *search) worths(pr *probe, leaders []*hypothesis, settings []decade.Setting,
	weights []float64) []float64 {
	out := make([]float64, len(settings))
	healthy := make([]float64, len(settings))
	forecasts := make([]forecast, len(settings))
	for k, x := range settings {
		if !s.work.spend(workOfSolve(s.model) + s.numReadings*(s.numReadings+4*s.numParts)) {
			return out
		}
		healthy[k] = pr.solve(pr.healthy, x)
		// The forecast does not depend on the hypothesis: it is linear in what a hypothesis
		// leaves of the readings.
		forecasts[k] = s.forecast(x)
	}
	expected := make([][]expectation, len(leaders))
	for i, h := range leaders {
		// A bridge is solved with two values.
		solutions := 1
		if len(h.faults) > 0 && h.faults[0].logarithmic() {
			solutions = 3
		}
		if !s.work.spend(len(settings) * (solutions*workOfSolve(s.model) + s.numReadings)) {
			return out
		}
		expected[i] = s.expect(pr, h, settings, healthy, forecasts)
	}
	for k := range settings {
		for i := range leaders {
			for j := range i {
				if expected[i] != nil && expected[j] != nil &&
					!leaders[i].repairedWith(leaders[j]) {
					told := expected[i][k].differs(expected[j][k])
					out[k] += float64(weights[i] * weights[j] * told)
				}
			}
		}
	}
	return out
}

// costOfDial is how much each further dial off zero takes from the worth of a setting. With 0.03
// six dials off zero lose 15 %: a reading that tells much more is taken all the same, since a
// wrong knob in a long setting costs another dialling and no more.
const costOfDial = 0.03

// offZero counts the dials that are off zero. Positions are compared and not ohms: a dial at a
// position of no resistance is turned all the same.
func offZero(x decade.Setting) int {
	n := 0
	for _, p := range x.Positions() {
		if p != 0 {
			n++
		}
	}
	return n
}

// expectation is what a hypothesis expects a further reading to show.
type expectation struct {
	mean     float64 // Ω above nominal; +Inf: open
	variance float64
}

// differs is the probability that a reading tells two expectations apart, as one less the
// overlap of two normal distributions (the coefficient of A. Bhattacharyya). Two open circuits
// are alike, an open one and a value never.
func (a expectation) differs(b expectation) float64 {
	if math.IsInf(a.mean, 1) || math.IsInf(b.mean, 1) {
		if math.IsInf(a.mean, 1) && math.IsInf(b.mean, 1) {
			return 0
		}
		return 1
	}
	// Variances are above 0: a forecast keeps a millionth of its own.
	sum := a.variance + b.variance
	// Of two normal distributions exp(−d²/(4·Σ))·√(2·s·t/Σ), Σ = s² + t² (Bhattacharyya, as above).
	d := a.mean - b.mean
	return 1 - math.Sqrt(2*math.Sqrt(a.variance)*math.Sqrt(b.variance)/sum)*math.Exp(-d*d/(4*sum))
}

// forecast is what the readings at hand say of a further one while the box is healthy: its
// mean is the weighted sum of their deviations.
type forecast struct {
	weights  []float64 // of the observations
	variance float64
}

// forecast conditions a further reading of a setting on those at hand: elements inside
// their class, and the errors of the meter as those of the reading nearest to it.
//
// In the space of the readings at hand and the one more, jointly normal with mean 0 while the
// box is healthy (their deviations from nominal): the best linear prediction (C. R. Rao, Linear
// Statistical Inference and Its Applications, section 8a.2, from memory).
func (s *search) forecast(x decade.Setting) forecast {
	n := s.numReadings
	with, variance := s.withObservations(x)
	f := forecast{weights: make([]float64, n), variance: variance}
	for i := range n {
		// The conditional mean of a normal vector: cᵀ·C⁻¹·e, and its variance v − cᵀ·C⁻¹·c.
		f.weights[i] = dot(s.byDialling.inverse[i*n:(i+1)*n], with)
	}
	// The floor keeps a variance where a setting is known from a hundred readings of itself and
	// the difference has lost its digits.
	f.variance = max(variance-dot(f.weights, with), 1e-6*variance)
	return f
}

// withObservations returns the covariance of a further reading with those at hand, and its
// variance.
//
// No specification is asked here, only the covariance of the readings, which has it all: the
// further reading has the errors of the one that is nearest to it in value. Where it is larger
// than that one, they grow in proportion; where it is smaller, they stay.
func (s *search) withObservations(x decade.Setting) (with []float64, variance float64) {
	with = make([]float64, s.numReadings)
	i, next := s.nearestTwo(x.Value())
	c := s.evidence.covariance
	own := c.At(i, i)
	scale := max(1, x.Value()/max(s.model.nominal[s.evidence.observations[i].setting],
		smallestContact))
	for j := range with {
		with[j] = scale * c.At(i, j)
	}
	// The noise of the nearest reading is its own; what it shares with the next nearest, gain and
	// zero, the further reading will share, too.
	with[i] = 0
	if next != absent {
		with[i] = scale * max(0, min(own, c.At(i, next)))
	}
	variance = scale * scale * own
	in := s.elementsOf(x)
	for j, o := range s.evidence.observations {
		with[j] += s.priorBetween(in,
			func(e int) bool { return s.model.inCircuit[e][o.setting] != 0 })
	}
	return with, variance + s.priorBetween(in, func(e int) bool { return in[e] })
}

// nearestTwo are the observations whose values are nearest in their ratio. By the ratio of the
// values: a meter has its errors by range and in proportion. second is absent where there is one
// observation.
func (s *search) nearestTwo(ohms float64) (first, second int) {
	first, second = absent, absent
	gaps := [2]float64{math.Inf(1), math.Inf(1)}
	for i, o := range s.evidence.observations {
		// The contact keeps the ratio of a zero setting finite: 0 Ω is farther from 1 Ω than 1 Ω
		// from 1 kΩ.
		gap := math.Abs(math.Log((s.model.nominal[o.setting] + smallestContact) / (ohms +
			smallestContact)))
		switch {
		case gap < gaps[0]:
			first, second = i, first
			gaps = [2]float64{gap, gaps[0]}
		case gap < gaps[1]:
			second, gaps[1] = i, gap
		}
	}
	return first, second
}

// elementsOf marks the elements in circuit at a setting, and the residual. The residual is in
// the path of every setting.
func (s *search) elementsOf(x decade.Setting) []bool {
	in := make([]bool, s.numParts)
	for d, dec := range s.model.layout.decades {
		for _, e := range dec.InCircuit(x.Position(d)) {
			in[s.model.layout.firstElement[d]+e-1] = true
		}
	}
	in[s.numParts-1] = true
	return in
}

// priorBetween is the covariance that the class leaves between two sums of elements (see
// classThrough).
//
// With u = c/√3 an element has an error of its own and one of its dial, u each: of two sums of
// elements the covariance is Σ over the elements in both of c²/3, and for each dial (Σc in the
// one)·(Σc in the other)/3. The residual is in both and has no dial.
func (s *search) priorBetween(in []bool, other func(element int) bool) float64 {
	sum := 0.0
	first := s.model.layout.firstElement
	for d := range s.model.layout.decades {
		a, b := 0.0, 0.0
		for e := first[d]; e < first[d+1]; e++ {
			c := s.model.classLimit[e]
			also := other(e)
			if in[e] {
				a += c
			}
			if also {
				b += c
			}
			// The own part of an element counts where it is in both sums, that of its dial always.
			if in[e] && also {
				sum += c * c / 3
			}
		}
		sum += a * b / 3
	}
	c := s.model.classLimit[s.numParts-1]
	return sum + c*c/3
}

// expect predicts the settings with a hypothesis; nil where the circuit cannot have it.
//
// healthy and forecasts have an entry for each setting, and so has the result: the change of the
// setting by the faults, and the forecast from what these leave of the readings.
func (s *search) expect(pr *probe, h *hypothesis, settings []decade.Setting, healthy []float64,
	forecasts []forecast) []expectation {
	c := s.model.layout.unchanged()
	for _, f := range h.faults {
		if c.apply("fault.Diagnose", f) != nil {
			return nil
		}
	}
	rest := make([]float64, s.numReadings)
	for j, o := range s.evidence.observations {
		if v := h.effect[o.setting]; !math.IsInf(v, 0) {
			rest[j] = s.byDialling.deviation[j] - v
		}
	}
	relative := h.relativeUncertainty()
	moved := s.movedByUncertainty(h, relative)
	out := make([]expectation, len(settings))
	for k, x := range settings {
		effect := 0.0
		i := slices.Index(s.model.settings, x)
		// At a setting that was read the fit is at hand, with its value; elsewhere the circuit
		// is solved.
		if i >= 0 {
			effect = h.effect[i]
		} else if len(h.faults) > 0 {
			effect = c.gain*(x.Value()+pr.solve(c, x)-healthy[k]) - x.Value()
		}
		effect += s.outsideBox(h, x, i)
		if math.IsInf(effect, 0) {
			out[k].mean = math.Inf(1)
			continue
		}
		f := forecasts[k]
		by := relative * effect
		if moved != nil {
			by = c.gain * (pr.solve(moved, x) - pr.solve(c, x))
		}
		// Open with either value: nothing that a value could move.
		if math.IsNaN(by) || math.IsInf(by, 0) {
			by = 0
		}
		out[k] = expectation{effect + dot(f.weights, rest), f.variance + by*by}
		// What scatters scatters anew, where it is in the path.
		if h.drawSD > 0 && math.Abs(effect) > 0 {
			out[k].variance += h.drawSD * h.drawSD
		}
	}
	return out
}

// movedByUncertainty is the circuit with the value of a bridge or leak, as the first fault, larger
// by its relative uncertainty; nil where the first fault is another, whose effect is in proportion
// to its value. A touch of 1 mΩ that may be 2 mΩ shorts 100 Ω all the same: what it does is known
// far better than its value.
func (s *search) movedByUncertainty(h *hypothesis, relative float64) *change {
	if relative == 0 || len(h.faults) == 0 || !h.faults[0].logarithmic() {
		return nil
	}
	c := s.model.layout.unchanged()
	for i, f := range h.faults {
		if i == 0 {
			f.Value *= 1 + relative
		}
		if c.apply("fault.Diagnose", f) != nil {
			return nil
		}
	}
	return c
}

// outsideBox is what faults that are not in the box change the expectation by, in Ω: those of
// the meter where the setting was not read, as if on the range of the reading nearest to it; and
// what was wrong with one dialling is not expected again. read is the index of the setting among
// those read, or absent.
func (s *search) outsideBox(h *hypothesis, x decade.Setting, read int) float64 {
	sum := 0.0
	for _, f := range h.faults {
		// Ranges and rows count from 1.
		at := f.A.Number - 1
		switch {
		case s.model.rangeOf == nil:
		case f.Kind == KindDialling && read != absent && s.model.row[read] == at:
			sum -= f.Value
		// What the fit says of a setting that was read has the error of its range already.
		case read != absent:
		case f.Kind == KindMeterGain && s.rangeNear(x) == at:
			sum += f.Value * x.Value()
		case f.Kind == KindMeterZero && s.rangeNear(x) == at:
			sum += f.Value
		}
	}
	return sum
}

// rangeNear is the range of the reading nearest to a setting.
func (s *search) rangeNear(x decade.Setting) int {
	i, _ := s.nearestTwo(x.Value())
	return s.model.rangeOf[s.evidence.observations[i].setting]
}

// relativeUncertainty is that of the value of the first fault. It is 1 at most, where the value
// is known to nothing, and 0 of a fault without a value. That of a second fault is left out.
func (h *hypothesis) relativeUncertainty() float64 {
	if len(h.faults) == 0 || len(h.uncertainty) == 0 || h.faults[0].Value == 0 ||
		!finite(h.uncertainty[0]) {
		return 0
	}
	return min(1, math.Abs(h.uncertainty[0]/h.faults[0].Value))
}

// openAfterCleaning opens the box where contacts were cleaned already: what was read last is as
// left. A record as left is one after the adjustment.
func (d *Diagnosis) openAfterCleaning(r *verify.Report) {
	if d.Next.Act == ActClean && lastStage(r) == verify.StageAsLeft {
		d.Next.Act = ActOpen
	}
}

// otherRangeFirst proposes another range in the place of a known resistor, where a range of the
// meter may be off and the next one is good enough to show it: that takes no resistor. It leaves
// the step alone where the setting was read on two ranges: what the other range shows is in the
// readings already.
func (d *Diagnosis) otherRangeFirst(r *verify.Report) {
	if d.Next.Act != ActKnownResistor || len(d.Causes) == 0 || !d.Next.Setting.IsValid() {
		return
	}
	x := d.Next.Setting
	rows := r.At(x)
	if len(rows) == 0 || slices.ContainsFunc(rows,
		func(row verify.Row) bool { return row.Range != rows[0].Range }) {
		return // read on two ranges already
	}
	other := otherRange(r, x.Value(), rows[0].Range)
	i := slices.IndexFunc(r.Meter.Ranges, func(rg verify.Range) bool { return rg.Name == other })
	for _, faults := range d.Causes[0].members() {
		for _, f := range faults {
			if f.Kind == KindBoxDrift {
				return // the other range shows it too
			}
			// Three limits of the other range: what it shows is then no error of its own.
			if i >= 0 && f.shiftOnRange(rows[0].Range, x.Value()) >
				3*r.Meter.Ranges[i].Limit(x.Value(), 0) {
				d.Next.Act, d.Next.Range = ActOtherRange, ""
			}
		}
	}
}

// shiftOnRange is by how much a fault of a range of the meter shifts a reading of so many ohms
// there, in Ω; 0 where the fault is another.
func (f Fault) shiftOnRange(name string, ohms float64) float64 {
	switch {
	case f.Kind == KindMeterGain && f.Name == name:
		return math.Abs(f.Value) * ohms
	case f.Kind == KindMeterZero && f.Name == name:
		return math.Abs(f.Value)
	}
	return 0
}

// reverseFirst proposes the other polarity before anything is cleaned, where a small
// resistance in series may be a thermal EMF: the meter neither compensates nor limits
// them, and the setting was read with one polarity.
//
// A thermal EMF E reads as E/I with the test current I, of one sign whatever way the current
// flows; what both polarities show is resistance.
func (d *Diagnosis) reverseFirst(r *verify.Report) {
	const small = 0.1 // Ω: 100 µV at 1 mA
	if d.Healthy || len(d.Causes) == 0 || d.Next.Act < ActKnownResistor ||
		!d.Next.Setting.IsValid() {
		return
	}
	f := d.Causes[0].Faults[0]
	if f.Kind != KindSeries && f.Kind != KindMeterZero || math.Abs(f.Value) > small ||
		r.Meter.OffsetCompensated || r.Meter.ThermalEMF > 0 {
		return
	}
	for _, row := range r.At(d.Next.Setting) {
		if len(row.Reading.Reversed) > 0 {
			return
		}
	}
	d.Next = Step{Act: ActReverse, Setting: d.Next.Setting}
}
