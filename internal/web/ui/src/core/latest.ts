// One question at a time, and the latest wins.
//
// Laws, tested in latest.test.ts
//   P1  At most one is under way.
//   P2  What was asked last is asked in the end, also after one that failed.
//   P3  What was overtaken while another was under way is never asked.
export class Latest {
  private busy = false;
  private again = false;

  /** Job reads what is to be asked when it begins; it deals with its own failures. */
  constructor(private readonly job: () => Promise<void>) {}

  /** Something newer waits behind the one that is under way. */
  get overtaken(): boolean { return this.again; }

  ask(): void {
    if (this.busy) { this.again = true; return; }
    this.busy = true;
    void this.job().catch(() => {}).then(() => {
      this.busy = false;
      if (!this.again) return;
      this.again = false;
      this.ask();
    });
  }
}
