package plan

import (
	"context"

	"backroad/internal/kit"
	"backroad/internal/verdict"
)

// mostFixes is how many of the nearest fixes a plan carries.
const mostFixes = 5

// explain says of the best plan why its kit was chosen, what clashes where none
// works, and the nearest fix. Both speak of the choice before any sighting. What ctx cuts short is left out:
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
		if fixes, err := kit.Fixes(ctx, d.request, d.plan.Kit); err == nil {
			d.plan.Fixes = fixes[:min(len(fixes), mostFixes)]
		}
	}
}
