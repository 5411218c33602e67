package kit

import (
	"math/rand/v2"
	"testing"

	"backroad/internal/gear"
	"backroad/internal/rail"
)

// TestLawK10K11: against package rail on a fresh axis, for random kits on badly known legs:
// no joint probability is above what pairs of margins say, and none differs between kits
// with the same key.
func TestLawK10K11(t *testing.T) {
	const seed = 218
	r := rand.New(rand.NewPCG(seed, 0))
	shared, below := 0, 0
	for i := range 60 {
		req := richer(r)
		for leg := range req.Setup.Legs {
			req.Setup.Legs[leg].Length.SD *= 2.5
		}
		p := newProblem(req, nil, false)
		seen := map[string]float64{}
		for range 25 {
			pick := make([]int, len(p.roles))
			for role := range pick {
				pick[role] = r.IntN(len(p.offer[role]))
			}
			want := slowJoint(req, p.kit(pick))
			j := p.jointly(pick)
			if want > j.most {
				t.Fatalf("seed %d, case %d: joint probability %v, at most %v by pairs", seed, i, want, j.most)
			}
			if want > 0 && j.most < 1 {
				below++
			}
			if before, ok := seen[j.key]; ok {
				shared++
				if before != want {
					t.Fatalf("seed %d, case %d: one key for the joint probabilities %v and %v", seed, i, before, want)
				}
			}
			seen[j.key] = want
		}
	}
	t.Logf("seed %d: %d kits had a key before them, %d were held against a bound below 1", seed, shared, below)
	if shared < 100 || below < 100 {
		t.Errorf("%d shared keys, %d bounds: the test says little", shared, below)
	}
}

// slowJoint is the joint probability of a kit's margins of length on an axis of its own.
func slowJoint(req *Request, k gear.Kit) float64 {
	a := rail.NewAxis(req.Setup)
	a.FillAll(k)
	var lengths []rail.Margin
	for _, m := range a.Margins() {
		if !rail.IsFit(m.ID) {
			lengths = append(lengths, m)
		}
	}
	_, p, unknown := a.Judge(lengths)
	if unknown {
		return 0
	}
	return float64(p)
}
