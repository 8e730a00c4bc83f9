/** Sound examples of what the targets spoil, and pieces that mean something in their formats. */
import { Buffer } from 'node:buffer';

const EVENT_SPACE = 'http://schemas.microsoft.com/win/2004/08/events/event';
/** The open event schema (MS-EVEN6 2.2; names of elements from memory). */
const event = (provider: string, id: number, data: string): string =>
  `<Event xmlns="${EVENT_SPACE}"><System><Provider Name="${provider}"/><EventID Qualifiers="16384">${id}</EventID>` +
  `<TimeCreated SystemTime="2026-01-31T08:00:00.1234567Z"/></System>${data}</Event>`;
const TERMINATED = event(
  'Service Control Manager',
  7031,
  '<EventData><Data Name="param1">Print Spooler</Data><Data Name="param2">2</Data><Data Name="param3">60000</Data></EventData>',
);
const PRINTED = event(
  'Microsoft-Windows-PrintService',
  307,
  '<UserData><W xmlns="urn:x"><Param1>7</Param1><Param2>A &amp; B</Param2><Param3>mira</Param3><Param4>\\\\DESK</Param4><Param5>front-desk</Param5></W></UserData>',
);
export const EVENTS = [
  `<?xml version="1.0" encoding="utf-8"?>\n<Events>${TERMINATED}${PRINTED}</Events>`,
  TERMINATED + PRINTED + TERMINATED,
].flatMap((text) => [Buffer.from(text), Buffer.from(`\uFEFF${text}`, 'utf16le')]);
export const EVENT_TOKENS = [
  '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>',
  '&b;',
  '&#0;',
  '&#x110000;',
  '&lt;',
  '<![CDATA[',
  ']]>',
  '<!--',
  '-->',
  '<?x ?>',
  '<Data Name="__proto__">x</Data>',
  '<__proto__>x</__proto__>',
  '<constructor>x</constructor>',
  '<Event xmlns="urn:y">',
  ' xmlns:a="urn:a"',
  ' a:b="c"',
  '<EventID>4294967296</EventID>',
  ' SystemTime="275760-09-13T00:00:00.001Z"',
];

export const YAML_TOKENS = [
  '&a [x, x]',
  '*a',
  '<<: *a',
  '__proto__: { polluted: yes }',
  'constructor: { prototype: { x: 1 } }',
  '!!js/function "x"',
  '!!binary aGk=',
  '!!set { a }',
  '? [a, b]\n: c\n',
  '%YAML 1.1\n---\n',
  '\n---\n',
  '\n...\n',
  '{',
  '}',
  '[',
  ']',
  '- ',
  ': ',
  '\t',
  '|\n',
  '>2-\n',
  '"\\x00\\u202e"',
  '0x7fffffffffffffff',
  '.inf',
  '1e400',
  '~',
  '\u0000',
  '99999d',
];

const UEL = '\u001b%-12345X';
export const JOBS = [
  `${UEL}@PJL SET RESOLUTION=600\r\n@PJL ENTER LANGUAGE=POSTSCRIPT\r\n%!PS-Adobe-3.0\n/Helvetica findfont 12 scalefont setfont\nshowpage\n\u0004${UEL}`,
  `${UEL}@PJL COMMENT x\n@PJL ENTER LANGUAGE = PCLXL\n) HP-PCL XL;2;0;Comment\n`,
  '%PDF-1.7\n%\u00e2\u00e3\u00cf\u00d3\n1 0 obj\n<< /Type /Catalog >>\nendobj\ntrailer\n<< /Root 1 0 R >>\n%%EOF\n',
  '\u001bE\u001b&l26A\u001b*t600RHello\u001bE',
  `RaS2PwgRaster\0${'\0'.repeat(200)}${'\u0000\u0000\u0002\u0058'.repeat(60)}`,
  '^XA^FO50,50^ADN,36,20^FDQuay 7^FS^XZ',
  'PK\u0003\u0004\u0014\0\0\0\0\0word/document.xml[Content_Types].xml',
  '\u001f\u008b\b\0\0\0\0\0',
  'Dear Mira,\r\nthe lamp store needs paper.\r\n',
].map((text) => Buffer.from(text, 'latin1'));
export const JOB_TOKENS = [UEL, '@PJL ', 'ENTER LANGUAGE=', '\r\n', '%!', '%PDF-', '\u001b&', '^XA', '^FD', '\0'];

export const CSV = [
  'at,printer,supply,level,capacity,unit,pages\n2026-01-01T08:00:00Z,front-desk,Black toner,4200,6000,impressions,1200\n2026-01-02T08:00:00Z,front-desk,Black toner,-3,,,\n',
  '\uFEFFat,printer,supply,level,capacity,unit,pages\r\n2026-01-01,"a, ""b""",Waste toner,80,100,percent,\r\n',
].map((text) => Buffer.from(text));
