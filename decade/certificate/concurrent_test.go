// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate_test

import (
	"bytes"
	"sync"
	"testing"

	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/internal/concurrent"
)

// Several goroutines make certificates of one report and the same parties at once, and use one
// certificate: for the race detector. All write the same.
func TestConcurrentUse(t *testing.T) {
	report, parties := oneDial(), bench()
	made := make([]bytes.Buffer, 3)
	var wg sync.WaitGroup
	for i := range made {
		wg.Go(func() {
			c, err := certificate.New(report, parties)
			if err == nil {
				err = c.WriteXML(&made[i])
			}
			if err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	for i := range made {
		if made[i].Len() == 0 || made[i].String() != made[0].String() {
			t.Errorf("certificate %d of one report differs from the first", i+1)
		}
	}
	c := exampleCertificate()
	if methods := concurrent.Methods(t, []any{c, &c.Results[0], c.Results[0].Rows[0],
		c.Equipment[0], parties, parties.Laboratory, parties.Persons[0]}, nil); methods < 3 {
		t.Errorf("%d methods were called; expected 3 or more", methods)
	}
}
