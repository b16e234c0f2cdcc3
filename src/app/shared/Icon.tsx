/** Our own line icons, 24 x 24, drawn with one stroke width. Decorative: the words beside them carry the meaning. */
const shapes = {
  next: 'M5 12h13M12 5l7 7-7 7',
  back: 'M19 12H6M12 5l-7 7 7 7',
  done: 'M4 13l5 5L20 6',
  again: 'M19 12a7 7 0 1 1-2.2-5.1M19 3v5h-5',
  slower: 'M4 18h10a6 6 0 0 0-6-6 4 4 0 0 0-4 4zM14 18h4l2-4M18 14V9M7 18v2M12 18v2',
  louder: 'M4 9v6h4l5 4V5L8 9zM16.5 9a4 4 0 0 1 0 6M19 6.5a8 8 0 0 1 0 11',
  softer: 'M4 9v6h4l5 4V5L8 9zM16.5 10.5a2 2 0 0 1 0 3',
  question: 'M8.5 9a3.5 3.5 0 1 1 5 3.2c-1 .5-1.5 1.2-1.5 2.3M12 18.5v.5',
  help: 'M6 16V11a6 6 0 1 1 12 0v5l2 2H4zM10 21h4',
  cards: 'M4 6h9v12H4zM13 8l6 1.5-2.5 10L13 18.6',
  voice: 'M12 3a3 3 0 0 1 3 3v6a3 3 0 0 1-6 0V6a3 3 0 0 1 3-3zM6 11a6 6 0 0 0 12 0M12 17v4',
  pause: 'M8 5v14M16 5v14',
  stop: 'M6 6h12v12H6z',
  print: 'M7 9V4h10v5M5 9h14v8h-3v3H8v-3H5zM8 14h8',
  save: 'M12 4v11M7 10l5 5 5-5M5 20h14',
  yes: 'M4 13l5 5L20 6',
  no: 'M6 6l12 12M18 6L6 18',
  person: 'M12 4a4 4 0 1 1 0 8 4 4 0 0 1 0-8zM4 21c0-4 3.5-6.5 8-6.5s8 2.5 8 6.5',
  moon: 'M20 14.5A8.5 8.5 0 1 1 9.5 4a7 7 0 0 0 10.5 10.5z',
  sun: 'M12 8a4 4 0 1 1 0 8 4 4 0 0 1 0-8zM12 2v2M12 20v2M2 12h2M20 12h2M4.9 4.9l1.4 1.4M17.7 17.7l1.4 1.4M19.1 4.9l-1.4 1.4M6.3 17.7l-1.4 1.4',
  key: 'M3 7h18v10H3zM7 11h.01M11 11h.01M15 11h.01M8 14h8',
} as const;

export type IconName = keyof typeof shapes;

/** Point along the text, so they turn with it. */
const along = new Set<IconName>(['next', 'back']);

export function Icon({ name, size = '1.2em' }: { name: IconName; size?: string }) {
  return (
    <svg
      viewBox="0 0 24 24"
      width={size}
      height={size}
      fill="none"
      stroke="currentColor"
      strokeWidth="2.2"
      strokeLinecap="round"
      strokeLinejoin="round"
      aria-hidden="true"
      focusable="false"
      className={along.has(name) ? 'turns' : undefined}
    >
      <path d={shapes[name]} />
    </svg>
  );
}
