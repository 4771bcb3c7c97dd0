// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"sync"

	"example.com/ohmwright/decade"
)

// A Circuit makes repeated diagnoses of one box faster. It keeps what a diagnosis computes from
// the box and the settings that were dialled, whatever was read there, for the next diagnosis of
// the same box, so that a further reading costs only what it changes. The answers are the same to
// the last bit.
//
// The zero Circuit keeps nothing yet. It keeps one box, the last that was diagnosed with it,
// and its settings. Any number of goroutines may use a Circuit at once; it must not be copied.
type Circuit struct {
	mu       sync.Mutex
	template *model // without settings
	strapped int
	settings map[decade.Setting]*settingModel
}

// settingModel is what the box reads at one setting: healthy, and with each bridge and each
// move of a wiper.
type settingModel struct {
	nominal, network float64
	inCircuit        []int // elements
	bridged          settingPairs
	moved            []float64 // the change by each move
}

// modelOf is the model of a box at settings. Where the work was stopped it is incomplete, and not
// to be used. A setting that is not known costs one solution and the transfer resistances of all
// nodes; of sixty settings and one more the next diagnosis makes that one alone. w may be nil.
func (c *Circuit) modelOf(w *work, b *decade.Box, settings []decade.Setting, strapped int) *model {
	template, known := c.knownOf(b, strapped)
	list := make([]*settingModel, len(settings))
	now := make(map[decade.Setting]*settingModel, len(settings))
	var p *probe // made when the first setting is not known
	for k, s := range settings {
		// A setting that was read on two ranges of the meter stands there twice.
		x := now[s]
		if x == nil {
			x = known[s]
		}
		if x == nil {
			if p == nil {
				p = newProbe(template.layout)
			}
			if !w.spend(workOfSolve(template) + 6*len(template.pairs)) {
				return template.withSettings(nil, nil)
			}
			x = template.newSettingModel(p, s)
		}
		list[k], now[s] = x, x
	}
	c.keepSettings(template, strapped, now)
	return template.withSettings(settings, list)
}

// knownOf returns what is known of a box. The map is not changed any more: another takes its place.
func (c *Circuit) knownOf(b *decade.Box, strapped int) (*model, map[decade.Setting]*settingModel) {
	c.mu.Lock()
	defer c.mu.Unlock()
	// By the pointer: a Box does not change, and two that are alike are two boxes to their owner.
	if c.template == nil || c.template.layout.box != b || c.strapped != strapped {
		return newTemplate(b, strapped), nil
	}
	return c.template, c.settings
}

// keepSettings keeps the settings of the last diagnosis and no others: those of all would grow
// without end while a session goes on.
func (c *Circuit) keepSettings(template *model, strapped int,
	now map[decade.Setting]*settingModel) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.template, c.strapped, c.settings = template, strapped, now
}
