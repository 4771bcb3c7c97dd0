// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package report

import "testing"

func TestUnbroken(t *testing.T) {
	const want = `at <span class="unbroken">0-10-3</span>, &lt;b&gt; ±3 Ω, -5`
	if got := unbroken("at 0-10-3, <b> ±3 Ω, -5"); string(got) != want {
		t.Errorf("%s; want %s", got, want)
	}
}
