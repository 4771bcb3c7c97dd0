// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package life

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the readings of the walk anew")

// renewed is the resistor that was wound for the faulty element, in Ω.
const renewed = 1000.031

// asked are the settings that diagnose asks for in testdata/03-cause.
var asked = []string{"0-0-6-0-0-0-0", "0-0-3-0-0-0-0", "0-0-4-0-0-0-0"}

// plan lists the settings of the sheet and their diallings.
func plan(t *testing.T) (settings []string, diallings []int) {
	t.Helper()
	text, err := os.ReadFile("testdata/01-sheet/output/mybox/readings.csv")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(line, ";")
		var n int
		if _, err := fmt.Sscan(cells[1], &n); err != nil {
			continue // the head
		}
		settings, diallings = append(settings, cells[0]), append(diallings, n)
	}
	return settings, diallings
}

// first reports whether a setting is read in the first round: zero, and each dial at its
// highest position.
func first(setting string) bool {
	var off []string
	for part := range strings.SplitSeq(setting, "-") {
		if part != "0" {
			off = append(off, part)
		}
	}
	return len(off) == 0 || len(off) == 1 && off[0] == "10"
}

// The files of readings are those of the specimen.
func TestFiles(t *testing.T) {
	settings, diallings := plan(t)
	s := newSpecimen()

	// The sheet, of which the user filled in a few lines to begin with.
	begun, both := newSheet(), newSheet()
	for i, setting := range settings {
		var values []string
		if first(setting) {
			values = s.read(setting, 3)
			both.dialled(setting, diallings[i], values, clock("02.03.2026", i), "as found")
		}
		begun.dialled(setting, diallings[i], values, clock("02.03.2026", i), "as found")
	}
	wanted(t, "02-check/files/mybox/readings.csv", begun.String())

	// What was typed when diagnose asked. Each line names its setting, so that nothing
	// depends on how long the program thinks before it asks.
	var typed strings.Builder
	for i, setting := range asked {
		values := s.read(setting, 1)
		fmt.Fprintf(&typed, "%s = %s\n", setting, values[0])
		both.dialled(setting, 1, append(values, "", ""), clock("02.03.2026", 100+i), "as found")
	}
	typed.WriteString("stop\n")
	wanted(t, "03-cause/typed", typed.String())

	// A week later, with a new resistor in the place of the faulty one: the whole sheet.
	s.element(faulty, renewed)
	for i, setting := range settings {
		both.dialled(setting, diallings[i], s.read(setting, 3), clock("09.03.2026", i), "as left")
	}
	wanted(t, "05-left/files/mybox/readings.csv", both.String())

	// A year later.
	s.age(faulty)
	again := newSheet()
	for i, setting := range settings {
		again.dialled(setting, diallings[i], s.read(setting, 3), clock("08.03.2027", i), "as found")
	}
	wanted(t, "10-next-year/files/mybox/readings-2027.csv", again.String())
}

// clock is a time of day, a minute for each reading.
func clock(day string, minutes int) string {
	return fmt.Sprintf("%s %02d:%02d", day, 9+minutes/60, minutes%60)
}

func wanted(t *testing.T, name, text string) {
	t.Helper()
	file := filepath.Join("testdata", filepath.FromSlash(name))
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != text {
		t.Errorf("%s is not what the specimen gives; go test -update writes it", file)
	}
}
