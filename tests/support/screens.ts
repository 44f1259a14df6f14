/** The two ends of what a journey is walked on: a mouse at a desk, a finger on a phone. */
export const DESK_AND_PHONE = [
  { name: 'on a desk', finger: false, use: { viewport: { width: 1440, height: 900 } } },
  { name: 'on a phone', finger: true, use: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true } },
] as const;
