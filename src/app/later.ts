/**
 * What nobody waits for, ms after the start of the page: whoever comes to a kiosk that has just started gets its first
 * screen and voice, and no work that holds them up.
 */
export const later = { sound: 7_000, staffPages: 8_000, openingRecords: 9_000, copy: 10_000 };
