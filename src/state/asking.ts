/** One question at a time, the newest wish next: while a hand moves faster than answers come, those between are passed over. */
export class Asking<T> {
  private next: (() => Promise<T>) | null = null;
  private busy = false;

  constructor(
    private readonly take: (answer: T) => void,
    private readonly fail: (error: unknown) => void,
  ) {}

  ask(wish: () => Promise<T>): void {
    this.next = wish;
    if (!this.busy) void this.turn();
  }

  private async turn(): Promise<void> {
    this.busy = true;
    while (this.next) {
      const wish = this.next;
      this.next = null;
      try {
        const answer = await wish();
        // An answer that was overtaken is still nearer to the truth than the one before.
        this.take(answer);
      } catch (error) {
        this.fail(error);
      }
    }
    this.busy = false;
  }
}
