/** The device's position, from the press that begins it until it is ended. It stays on the device. */
import { type Fix, followFix, NO_TRACK, type Track } from './fixes.ts';

/** As much of the browser's geolocation as is used. */
export type Locator = Pick<Geolocation, 'watchPosition' | 'clearWatch'>;

const WORDS: Readonly<Record<number, string>> = {
  1: 'This browser may not tell your position. Allow it in the settings of the browser for this page, and begin again.',
  2: 'Your device cannot tell where it is. Go where the sky is open; switch its location on, and wait a moment.',
  3: 'Your device takes long to find its position. Stand still, with open sky above.',
};

export class Position {
  private followed = $state.raw<Track>(NO_TRACK);
  private clock = $state(0);
  private isOn = $state(false);
  private told = $state<string | null>(null);
  private watch: number | null = null;
  private ticking: ReturnType<typeof setInterval> | null = null;

  constructor(
    private readonly locator: Locator | undefined,
    private readonly now: () => number = Date.now,
  ) {}

  get track(): Track {
    return this.followed;
  }
  get isBegun(): boolean {
    return this.isOn;
  }
  /** What went wrong, and what to do. */
  get trouble(): string | null {
    return this.told;
  }
  /** Read a moment ago: what rests on the age of a position follows it. */
  get nowMs(): number {
    return this.clock;
  }

  begin(): void {
    this.end();
    if (!this.locator) {
      this.told = 'This browser cannot tell a position. Open the page by an address that begins with https.';
      return;
    }
    this.isOn = true;
    this.told = null;
    this.tick();
    this.ticking = setInterval(() => this.tick(), 1000);
    this.watch = this.locator.watchPosition(
      ({ coords }) => this.hear(coords),
      ({ code }) => this.fail(code),
      { enableHighAccuracy: true, maximumAge: 0, timeout: 30_000 },
    );
  }

  end(): void {
    if (this.watch !== null) this.locator?.clearWatch(this.watch);
    if (this.ticking !== null) clearInterval(this.ticking);
    this.watch = null;
    this.ticking = null;
    this.isOn = false;
    this.followed = NO_TRACK;
  }

  private hear({ longitude, latitude, accuracy, speed }: GeolocationCoordinates): void {
    // The clock of the page: that of a receiver may be off by hours.
    const fix: Fix = {
      at: [longitude, latitude],
      accuracyM: accuracy,
      speedMS: speed !== null && Number.isFinite(speed) ? speed : null,
      timeMs: this.now(),
    };
    this.told = null;
    this.followed = followFix(this.followed, fix);
    this.tick();
  }

  private fail(code: number): void {
    if (code === 1) this.end();
    this.told = WORDS[code] ?? WORDS[2]!;
  }

  private tick(): void {
    this.clock = this.now();
  }
}
