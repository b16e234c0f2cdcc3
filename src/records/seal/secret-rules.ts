/** NIST SP 800-63B-4, 3.1.1.2: a password that is the only factor has at least 15 characters. */
export const shortest = 15;
