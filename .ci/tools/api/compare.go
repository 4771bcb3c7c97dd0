// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"maps"
	"regexp"
	"slices"
	"strings"
)

// compare returns the incompatible changes from old to now, for people to read.
func compare(old, now map[string][]string) []string {
	var report []string
	for _, name := range slices.Sorted(maps.Keys(old)) {
		lines, ok := now[name]
		if !ok {
			report = append(report, "package "+name+" is gone")
			continue
		}
		if changes := incompatible(old[name], lines); changes != nil {
			report = append(report, "package "+name)
			report = append(report, changes...)
		}
	}
	return report
}

// incompatible returns the lines of old that are no longer true, each followed
// by the new lines about the same name.
func incompatible(old, now []string) []string {
	var changes []string
	for _, line := range old {
		if line == "" || slices.Contains(now, line) || slices.Contains(now, onValue(line)) {
			continue
		}
		changes = append(changes, "\t- "+line)
		for _, other := range now {
			if subject(other) == subject(line) && !slices.Contains(old, other) {
				changes = append(changes, "\t+ "+other)
			}
		}
	}
	return changes
}

// onValue returns the line of a method moved from pointer to value, which
// everybody who used it may go on using.
func onValue(line string) string {
	return strings.Replace(line, "method (*", "method (", 1)
}

var subjects = regexp.MustCompile(`^\w+ (\(\w+\)\.)?[\w.]+`)

// subject returns the part of a line that says what it is about.
func subject(line string) string {
	return subjects.FindString(onValue(line))
}
