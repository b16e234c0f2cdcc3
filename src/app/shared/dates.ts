const short = new Intl.DateTimeFormat('en', { dateStyle: 'medium', timeStyle: 'short' });
const long = new Intl.DateTimeFormat('en', { dateStyle: 'medium' });

/** For staff, by the clock of this device: "Mar 5, 2026, 9:30 AM". */
export const shortTime = (at: string): string => short.format(new Date(at));

/** "Mar 5, 2026". @param day such as "2026-03-05" */
export const dayName = (day: string): string => long.format(new Date(`${day}T12:00`));

/** The day of a time by the clock of this device, such as "2026-03-05": as an input of a date has it, and sorted by age. */
export function dayOf(at: string | number | Date): string {
  const date = new Date(at);
  const two = (part: number) => `${part}`.padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}
