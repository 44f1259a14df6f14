/** Paper and inks of each ground, for what is drawn outside of the style sheet. A test holds them equal to styles/tokens.css. */
import type { Ground } from './ramp.ts';

export interface Inks {
  readonly ground: Ground;
  readonly paper: string;
  readonly ink: string;
  readonly inkSoft: string;
  readonly hairline: string;
  readonly hatch: string;
  readonly halo: string;
  /** Seed that has just come down, before it dries. */
  readonly fresh: string;
  /** How much thicker lines are, and larger letters. */
  readonly bold: number;
}

export const INKS: Readonly<Record<Ground, Inks>> = {
  light: {
    ground: 'light',
    paper: '#f7f3ea',
    ink: '#211b16',
    inkSoft: '#594f46',
    hairline: '#cdc3b2',
    hatch: '#b3a795',
    halo: '#fffdf8',
    fresh: '#e08a1e',
    bold: 1,
  },
  dark: {
    ground: 'dark',
    paper: '#1c1611',
    ink: '#f1e8da',
    inkSoft: '#bfb2a1',
    hairline: '#4b4035',
    hatch: '#7d7062',
    halo: '#0e0a07',
    fresh: '#ffb648',
    bold: 1,
  },
  sunlight: {
    ground: 'sunlight',
    paper: '#ffffff',
    ink: '#000000',
    inkSoft: '#000000',
    hairline: '#000000',
    hatch: '#000000',
    halo: '#ffffff',
    fresh: '#c05f00',
    bold: 1.25,
  },
};
