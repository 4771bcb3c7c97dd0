// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package inspect gives one answer about a decade box: what its readings say, what is
// wrong inside, and the one step to take next.
//
//	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
//	answer, err := inspect.New(ctx, report, fault.Options{})
//	answer.WriteText(os.Stdout)
//
// Package verify states facts and verdicts and names no part; package fault ranks causes.
// An [Answer] puts both together, and it is the only place that does: verdicts, what is not
// plausible, what is common, causes, one next step, the repair, the cautions of what is
// advised, each once, and then the details. Programs that say what is wrong with a box
// print an Answer, in part or as a whole.
//
// An [Inspection] is kept while readings come in, from a person or an instrument: it takes
// them one by one, judges each as it arrives, says at any time what the readings say, what is
// still worth reading and whether it is finished, and is saved and resumed as JSON. One more
// reading costs the work that it changes, not that of all readings.
//
//	in, err := inspect.NewInspection(box, meter, conformity.Guarded(1), fault.Options{})
//	err = in.Add(reading)
//	answer, err := in.Answer(ctx)
//
// # Safety
//
// Disconnect the box from everything and discharge it before it is measured or opened.
// Each answer carries the cautions of the acts that it advises. Local codes and licensed
// practice come first.
package inspect
