// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// The bench and the packages that it tests meet in two texts, a table of readings and the
// description of a meter, as a laboratory would hand them over. So nothing that the bench knows
// can leak into a diagnosis, and the readers of both formats are tested along. Values are
// written with all digits (strconv's shortest that reads back), so that the text takes nothing
// from them.

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// ReadingsCSV writes readings as the table that package verify reads: all that this package and
// that one have in common is the text. A row is a dialling; one above all ranges has "OL" in its
// first value. Temperatures have two decimals, as a thermometer shows them.
func ReadingsCSV(readings []Reading) string {
	// The widest row decides how many columns there are; a temperature column is there if any
	// row has one.
	most, recorded := 1, false
	for _, r := range readings {
		most = max(most, len(r.Values))
		recorded = recorded || r.Recorded != nil
	}
	var b strings.Builder
	b.WriteString("setting,dialling,session,range")
	if recorded {
		b.WriteString(",temperature (°C)")
	}
	for i := range most {
		fmt.Fprintf(&b, ",value %d (Ω)", i+1)
	}
	b.WriteByte('\n')
	for _, r := range readings {
		// Positions as the reader of settings takes them: 3-0-7.
		fmt.Fprintf(&b, "%s,%d,%d,%s", strings.Trim(strings.ReplaceAll(fmt.Sprint(r.Positions), " ",
			"-"), "[]"), r.Dialling, r.Session, r.Range)
		if recorded {
			b.WriteByte(',')
			if r.Recorded != nil {
				b.WriteString(strconv.FormatFloat(*r.Recorded, 'f', 2, 64))
			}
		}
		for i := range most {
			b.WriteByte(',')
			switch {
			case i < len(r.Values):
				b.WriteString(strconv.FormatFloat(r.Values[i], 'g', -1, 64))
			// Above range: the first value says so, the others stay empty.
			case i == 0:
				b.WriteString("OL")
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// MeterJSON writes a meter as the file that package verify reads, as far as that file can say
// it. The range part is written as a fraction of the full scale, digits included. Shape and
// sessions have no place in the file: they are what a specification leaves open.
func MeterJSON(m Meter) string {
	// The keys are those of the file format, not of this package.
	type leads struct {
		Resistance    float64 `json:"resistance,omitempty"`
		Tolerance     float64 `json:"tolerance,omitempty"`
		Null          string  `json:"null,omitempty"`
		NullTolerance float64 `json:"nullTolerance,omitempty"`
	}
	type rng struct {
		Name       string  `json:"name"`
		FullScale  float64 `json:"fullScale"`
		OverRange  float64 `json:"overRange,omitempty"`
		OfReading  float64 `json:"ofReading"`
		OfRange    float64 `json:"ofRange"`
		K          float64 `json:"k,omitempty"`
		Combine    string  `json:"combine,omitempty"`
		Linearity  float64 `json:"linearity,omitempty"`
		Noise      float64 `json:"noise,omitempty"`
		Resolution float64 `json:"resolution,omitempty"`
		Reference  string  `json:"reference,omitempty"`
	}
	out := struct {
		Name              string `json:"name"`
		Wiring            string `json:"wiring"`
		OffsetCompensated bool   `json:"offsetCompensated"`
		Leads             *leads `json:"leads,omitempty"`
		Ranges            []rng  `json:"ranges"`
	}{Name: m.Name, Wiring: "four-wire", OffsetCompensated: true}
	// With a null only what it leaves is stated; the leads behind it are nobody's business.
	if m.TwoWire {
		out.Wiring, out.Leads = "two-wire", &leads{Resistance: m.Leads, Tolerance: m.LeadsTolerance}
		if m.Nulled {
			out.Leads = &leads{Null: "leads joined", NullTolerance: m.NullTolerance}
		}
	}
	for _, r := range m.Ranges {
		out.Ranges = append(out.Ranges, rng{r.Name, r.FullScale, r.OverRange, r.OfReading,
			r.ofRange() / r.FullScale, r.K, m.Law.String(), r.Linearity, r.Noise, r.Resolution,
			r.Reference})
	}
	text, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return err.Error() // plain numbers that Check admits marshal
	}
	return string(text)
}
