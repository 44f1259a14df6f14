/** Paper, dark soil or sunlight: as the machine says, or as the person chose; kept on this machine. */
import { MediaQuery } from 'svelte/reactivity';

export const THEMES = ['light', 'dark', 'sunlight'] as const;
export type GroundId = (typeof THEMES)[number];
export type ThemeChoice = GroundId | 'auto';

const KEPT_AS = 'seedfall.theme';

export class Theme {
  private readonly dark = new MediaQuery('prefers-color-scheme: dark');
  private readonly contrast = new MediaQuery('prefers-contrast: more');
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

/** The browser's own small store; null where it is refused. */
export function smallStore(): Storage | null {
  try {
    return globalThis.localStorage;
  } catch {
    return null;
  }
}
