// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"fmt"
	"math"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// sentence says where to look inside the box.
func sentence(b *decade.Box, c Cause) string {
	words := make([]string, len(c.Faults))
	for i, f := range c.Faults {
		words[i] = f.advice(b)
	}
	s := strings.Join(words, " And at once: ")
	if n := len(c.Equal); n > 0 {
		s += " These readings cannot tell it apart from: " + alternatives(b, c) + "."
	}
	return s
}

// alternatives lists the equal hypotheses, a few of them in words.
func alternatives(b *decade.Box, c Cause) string {
	const most = 4
	var words []string
	for i, faults := range c.Equal {
		if i == most {
			words = append(words, fmt.Sprintf("%d more", len(c.Equal)-most))
			break
		}
		parts := make([]string, len(faults))
		for j, f := range faults {
			parts[j] = f.In(b)
		}
		words = append(words, strings.Join(parts, " with "))
	}
	return strings.Join(words, "; ")
}

// advice is what one fault means for the person with the screwdriver.
func (f Fault) advice(b *decade.Box) string {
	a, other := f.A.In(b), f.B.In(b)
	switch f.Kind {
	case KindDrift:
		return fmt.Sprintf("%s is off by %s: look for a changed, overheated or badly soldered resistor there.", title(a), ohms(f.Value))
	case KindWrongPart:
		return fmt.Sprintf("%s is %s, near the standard value %s: look for a replaced part.", title(a), ohms(f.Value), ohms(nearestE24(f.Value)))
	case KindShorted:
		return fmt.Sprintf("%s is shorted: look for solder, a strand of wire or touching taps across it.", title(a))
	case KindOpenElement:
		return fmt.Sprintf("%s is open: look for a broken wire or joint at its ends.", title(a))
	case KindUnsteady:
		return fmt.Sprintf("%s reads %s more, and differs by some %s from time to time: look for a cracked joint or a loose turn; tap it gently while reading.", title(a), ohms(f.Value), ohms(f.Scatter))
	case KindOverloaded:
		return fmt.Sprintf("%s are off together, by %.3g %%: look for the marks of an overload at that setting.", title(f.at(b)), 100*f.Value)
	case KindDialDrift:
		return fmt.Sprintf("All of %s is off by %.3g %%: ageing or a wrong batch, or the meter range that reads it.", a, 100*f.Value)
	case KindBoxDrift:
		return fmt.Sprintf("Everything is off by %.3g %%: suspect the meter, the temperature, or a unit of old, before the box.", 100*f.Value)
	case KindAged:
		return fmt.Sprintf("All elements are off without order, by %.3g %% in the mean: resistors of an old kind that took up moisture; rebuild.", 100*f.Value)
	case KindSeries:
		if f.Scatter > 0 {
			return fmt.Sprintf("About %s, which change by some %s each time, are in series with everything: clean wipers and decks, tighten posts and leads.", ohms(f.Value), ohms(f.Scatter))
		}
		return fmt.Sprintf("%s are in series with everything, above the stated residual: leads, posts, links between dials or a wiper.", ohms(f.Value))
	case KindOpenPath:
		return fmt.Sprintf("The path is open at %s.", a)
	case KindContact:
		return fmt.Sprintf("The contact at %s has %s more: clean and exercise it before suspecting a resistor.", a, ohms(f.Value))
	case KindOpenContact:
		return fmt.Sprintf("There is no contact at %s: look for a bent, burnt or missing one, or its wire.", a)
	case KindOverlap:
		return fmt.Sprintf("At %s the wiper touches the tap below too: look at its adjustment and the detent.", a)
	case KindSlip:
		return f.slipAdvice(a)
	case KindTapsExchanged:
		return fmt.Sprintf("The wires of %s and %s are exchanged.", a, other)
	case KindElementsExchanged:
		return fmt.Sprintf("%s and %s are exchanged.", title(a), other)
	case KindElementLeak:
		return fmt.Sprintf("%s lie across %s: flux, dirt or a damaged track; near 0 Ω a short.", ohms(f.Value), a)
	case KindDialLeak:
		return fmt.Sprintf("%s lie across the whole of %s: clean its switch wafer and board.", ohms(f.Value), a)
	case KindTerminalLeak:
		return fmt.Sprintf("%s lie across the terminals: clean and dry posts, panel and leads; read again in dry air.", ohms(f.Value))
	case KindCaseLeak:
		return fmt.Sprintf("%s lie between %s and %s, by way of the case: read again with the strap off.", ohms(f.Value), a, other)
	case KindMeterGain:
		return fmt.Sprintf("%s is off by %.3g %%: check the meter against a known resistor on that range, and read again on another.", title(f.at(b)), 100*f.Value)
	case KindMeterZero:
		return fmt.Sprintf("The zero of %s is off by %s: null it with the leads joined, check the meter against a known resistor, and read again.", f.at(b), ohms(f.Value))
	case KindDialling:
		return fmt.Sprintf("One dialling differs from what all others say, by %s (%s): dial that setting again.", ohms(f.Value), f.at(b))
	case KindUnexplained:
		return "No fault that is known here explains these readings: check the record, the meter and the connections, and read again."
	case KindBridge, KindDialBridge:
		return fmt.Sprintf("%s join %s and %s: look for touching wires, solder, flux or a conducting track between them.", ohms(f.Value), a, other)
	}
	return f.In(b)
}

func (f Fault) slipAdvice(a string) string {
	end := "beyond the last contact there is none"
	if f.Wraps {
		end = "it turns all round"
	}
	if f.Stops {
		end = "it stops at the last contact"
	}
	return fmt.Sprintf("The knob of %s is set %+d positions off its shaft (%s): loosen, turn and fasten it.", a, int(f.Value), end)
}

func title(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// polarity warns of readings that differ with the direction of the current: no fault of
// the box, and not in the network.
func (d *Diagnosis) polarity(r *verify.Report) {
	for i := range r.Rows {
		rd := &r.Rows[i].Reading
		if len(rd.Values) == 0 || len(rd.Reversed) == 0 || r.Rows[i].Budget == nil {
			continue
		}
		by := mean(rd.Values) - mean(rd.Reversed)
		if math.Abs(by) > 4*r.Rows[i].Budget.StandardUncertainty {
			d.Warnings = append(d.Warnings, refuse("fault.Diagnose", "setting "+rd.Setting.String(), by, ErrContradiction,
				"readings of both polarities differ by %s: a thermal EMF or a galvanic film, not a resistor; their mean is used", ohms(by)))
			return
		}
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x / float64(len(v))
	}
	return sum
}
