package plan

import (
	"context"

	"backroad/internal/kit"
	"backroad/internal/verdict"
)

// explain says of the best plan why its kit was chosen, and what clashes where none
// works. Both speak of the choice before any sighting. What ctx cuts short is left out:
// Make fails then.
func (m *maker) explain(ctx context.Context, d *drafted) {
	if d.choice.Exact() {
		if why, err := kit.Explain(ctx, d.request, d.choice); err == nil {
			d.plan.Why = why
		}
	}
	if d.plan.Axis.Verdict == verdict.Fails || len(d.missing) > 0 {
		if facts, err := kit.Conflict(ctx, d.request); err == nil {
			d.plan.Clash = facts
		}
	}
}
