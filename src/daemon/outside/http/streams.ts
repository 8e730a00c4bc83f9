/** Answers that never end: together, and of one client. Browsers open at most six connections to one host by themselves. */
export const MOST_STREAMS = 100;
const MOST_OF_ONE = 20;

/** Counts answers that never end, so that they leave room for those that do. */
export class Streams {
  private readonly open = new Map<string, number>();
  private all = 0;

  /** Takes a place for a client; false when there is none. It is given back at the signal. */
  take(client: string, gone: AbortSignal): boolean {
    const own = this.open.get(client) ?? 0;
    if (own >= MOST_OF_ONE || this.all >= MOST_STREAMS) return false;
    this.open.set(client, own + 1);
    this.all++;
    gone.addEventListener('abort', () => this.giveBack(client), { once: true });
    return true;
  }

  private giveBack(client: string): void {
    const own = this.open.get(client) ?? 1;
    if (own <= 1) this.open.delete(client);
    else this.open.set(client, own - 1);
    this.all--;
  }
}
