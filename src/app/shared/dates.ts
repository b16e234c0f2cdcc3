const short = new Intl.DateTimeFormat('en', { dateStyle: 'medium', timeStyle: 'short' });
const long = new Intl.DateTimeFormat('en', { dateStyle: 'medium' });

/** For staff, by the clock of this device: "Mar 5, 2026, 9:30 AM". */
export const shortTime = (at: string): string => short.format(new Date(at));

/** "Mar 5, 2026". @param day such as "2026-03-05" */
export const dayName = (day: string): string => long.format(new Date(`${day}T12:00`));
