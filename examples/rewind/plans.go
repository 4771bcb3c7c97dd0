// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire/winding"
)

// plans are those that keep the limits. Where there is none, what nobody asked for gives way:
// first the power, then the length of the space.
func (w *work) plans() ([]winding.Plan, error) {
	asked := w.requirement
	plans, err := asked.Plans()
	if !errors.Is(err, winding.ErrUnreachable) {
		return plans, unit.Cause(err)
	}
	type way struct {
		open bool
		to   winding.Requirement
		said string
	}
	idle, longer := asked, asked
	idle.Power = 0
	longer.Former.Length *= 2
	for _, x := range []way{
		{!w.powerGiven, idle, "without that power"},
		{!w.spaceGiven, longer,
			fmt.Sprintf("with %s to wind on", unit.Format(longer.Former.Length, unit.Metre))},
	} {
		if !x.open {
			continue
		}
		if plans, second := x.to.Plans(); second == nil {
			at := unit.Format(asked.Former.Length, unit.Metre)
			if asked.Power != 0 {
				at = unit.Format(asked.Power, unit.Watt) + " in " + at
			}
			w.refused = fmt.Sprintf("No plan at %s: %v.\nPlans %s:\n\n",
				at, unit.Cause(err), x.said)
			w.requirement = x.to
			return plans, nil
		}
	}
	return nil, widen(unit.Cause(err))
}

// wideners are the flags that widen the limits, in the words of package winding.
var wideners = []struct{ limit, flags string }{
	{"temperature rise", "-rise or -power"},
	{"time constant", "-tau"},
	{"temperature coefficient", "-tcr"},
	{"thinnest wire", "-finest"},
	{"working temperature", "-power"},
	{"height of the winding", "-height or -length"},
	{"winding space", "-length or -rod"},
	{"thickest wire", "-rod"},
}

// widen adds to a refusal, which names the limits that are not met, the flags that widen them.
func widen(err error) error {
	limits, _, _ := strings.Cut(err.Error(), ";")
	var flags []string
	for _, x := range wideners {
		if strings.Contains(limits, x.limit) && !slices.Contains(flags, x.flags) {
			flags = append(flags, x.flags)
		}
	}
	if len(flags) == 0 {
		return err
	}
	return fmt.Errorf("%w; to widen it: %s", err, strings.Join(flags, ", "))
}
