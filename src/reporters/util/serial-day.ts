/** Days of the months before, in a year that begins with March. */
function daysBefore(monthFromMarch: number): number {
  return Math.floor((153 * monthFromMarch + 2) / 5);
}

function daysIn(year: number, month: number): number {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  return month === 2 ? (leap ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;
}

/**
 * The number by which spreadsheets know a day: 1 is 1 January 1900, counted with a 29 February 1900 that
 * never was (ECMA-376 part 1, 18.17.4.1), so days before March 1900 have none that all programs share.
 * @param date such as "2026-11-26"
 * @returns undefined for anything that is no such day
 */
export function serialDay(date: string): number | undefined {
  const [year = 0, month = 0, day = 0] = /^\d{4}-\d{2}-\d{2}$/.test(date)
    ? date.split("-").map(Number)
    : [];
  if (month < 1 || month > 12 || day < 1 || day > daysIn(year, month)) return undefined;
  if (year < 1900 || (year === 1900 && month < 3)) return undefined;
  // A year that begins with March ends with its leap day.
  const y = month > 2 ? year : year - 1;
  const leapDays = Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400);
  const days = 365 * y + leapDays + daysBefore((month + 9) % 12) + day;
  return days - DAYS_TO_MARCH_1900 + 61;
}

/** The same count for 1 March 1900, which is day 61. */
const DAYS_TO_MARCH_1900 = 365 * 1900 + 475 - 19 + 4 + 1;
