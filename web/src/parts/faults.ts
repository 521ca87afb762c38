// What a failed request means for what it carried: one table for all that the page keeps. Everything stays on the device until the program
// has acknowledged it or the person drops it, and dropping is offered only where sending it again would be refused again.
import { Trouble } from '../api';

export type Fault = 'away' | 'busy' | 'full' | 'damaged' | 'storeless' | 'unpaired' | 'missing' | 'refused' | 'fault';

const byKind: Record<string, Fault> = { busy: 'busy', full: 'full', damaged: 'damaged', 'no-store': 'storeless', 'not-paired': 'unpaired', 'not-found': 'missing' };
const byStatus: Record<number, Fault> = { 0: 'away', 400: 'refused', 413: 'refused', 422: 'refused', 429: 'busy' };

export function faultOf(trouble: unknown): Fault {
  if (!(trouble instanceof Trouble)) return 'fault';
  return byKind[trouble.kind] ?? byStatus[trouble.status] ?? 'fault';
}

const firstMilliseconds = 3000;
const longestMilliseconds = 60_000;
/** How long to wait before the next try: longer each time, and never shorter than the program asks for. */
export class BackOff {
  private tries = 0;
  next(trouble: unknown): number {
    const asked = trouble instanceof Trouble ? trouble.retryAfter * 1000 : 0;
    const own = Math.min(longestMilliseconds, firstMilliseconds * 2 ** this.tries);
    this.tries += 1;
    // Not all devices at the same moment.
    return Math.max(asked, own) * (1 + Math.random() / 4);
  }
  reset(): void {
    this.tries = 0;
  }
}
