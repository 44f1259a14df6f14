/** Paper, dark soil or sunlight: as the machine says, or as the person chose; kept on this machine. */

export const THEMES = ['light', 'dark', 'sunlight'] as const;
export type GroundId = (typeof THEMES)[number];
export type ThemeChoice = GroundId | 'auto';

const KEPT_AS = 'seedfall.theme';

export class Theme {
  private readonly dark = new Wish('(prefers-color-scheme: dark)');
  private readonly contrast = new Wish('(prefers-contrast: more)');
  private chosen = $state<ThemeChoice>('auto');

  constructor(private readonly kept: Pick<Storage, 'getItem' | 'setItem'> | null) {
    this.chosen = THEMES.find((one) => one === kept?.getItem(KEPT_AS)) ?? 'auto';
  }

  get choice(): ThemeChoice {
    return this.chosen;
  }
  /** What is shown. */
  get ground(): GroundId {
    if (this.chosen !== 'auto') return this.chosen;
    return this.contrast.current ? 'sunlight' : this.dark.current ? 'dark' : 'light';
  }

  choose(choice: ThemeChoice): void {
    this.chosen = choice;
    this.kept?.setItem(KEPT_AS, choice);
  }
}

/** What the machine wishes, followed as long as the page lives. A state of its own: it is told in the midst of any change. */
class Wish {
  private matches = $state(false);

  constructor(query: string) {
    const list = matchMedia(query);
    this.matches = list.matches;
    list.addEventListener('change', () => (this.matches = list.matches));
  }

  get current(): boolean {
    return this.matches;
  }
}

/** The browser's own small store; null where it is refused. */
export function smallStore(): Storage | null {
  try {
    return globalThis.localStorage;
  } catch {
    return null;
  }
}
