/** Which key does what while something is drawn. */
export interface Pressed {
  readonly key: string;
  readonly shiftKey: boolean;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
}

export type DrawingCommand =
  /** Steps east and north; ten of them with Shift. */
  | { readonly do: 'nudge'; readonly east: number; readonly north: number }
  | { readonly do: 'walk'; readonly by: 1 | -1 }
  | { readonly do: 'zoom'; readonly by: 1 | -1 }
  | { readonly do: 'place' | 'finish' | 'remove' | 'give up' | 'undo' | 'redo' };

const TOWARDS: Readonly<Record<string, readonly [east: number, north: number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** null: the key is not ours. */
export function commandOf({ key, shiftKey, ctrlKey, metaKey }: Pressed): DrawingCommand | null {
  const command = ctrlKey || metaKey;
  if (key === 'Escape') return { do: 'give up' };
  if (key === 'Enter') return { do: command ? 'finish' : 'place' };
  if (command) {
    const letter = key.toLowerCase();
    if (letter === 'z') return { do: shiftKey ? 'redo' : 'undo' };
    return letter === 'y' ? { do: 'redo' } : null;
  }
  const towards = TOWARDS[key];
  if (towards) {
    const steps = shiftKey ? 10 : 1;
    return { do: 'nudge', east: steps * towards[0], north: steps * towards[1] };
  }
  if (key === 'Tab') return { do: 'walk', by: shiftKey ? -1 : 1 };
  if (key === 'Delete' || key === 'Backspace') return { do: 'remove' };
  if (key === '+' || key === '=') return { do: 'zoom', by: 1 };
  if (key === '-') return { do: 'zoom', by: -1 };
  return null;
}
