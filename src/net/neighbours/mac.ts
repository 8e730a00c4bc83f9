/**
 * A hardware address in one form: lower case, two digits, colons. Takes colons, dashes and single digits
 * (`2:fc:0:0:0:5`). Null for anything else, and for the all-zero address that a table shows for an unresolved row.
 */
export function normalMac(text: string): string | null {
  const parts = text.trim().toLowerCase().split(/[:-]/);
  if (parts.length !== 6 || !parts.every((part) => /^[0-9a-f]{1,2}$/.test(part))) return null;
  const mac = parts.map((part) => part.padStart(2, '0')).join(':');
  return mac === '00:00:00:00:00:00' ? null : mac;
}
