/** Outside check values, each with its source. Hex throughout. */

/**
 * RFC 3414 A.3.1 and A.3.2 print the first two; the others follow the same method (RFC 3414 A.2) with the digests of
 * RFC 7860, which prints none.
 */
export const LOCALIZED_KEYS = [
  { protocol: 'MD5', key: '526f5eed9fcce26f8964c2930787d82b', source: 'RFC 3414 A.3.1' },
  { protocol: 'SHA-1', key: '6695febc9288e36282235fc7151f128497b38f3f', source: 'RFC 3414 A.3.2' },
  {
    protocol: 'SHA-224',
    key: '0bd8827c6e29f8065e08e09237f177e410f69b90e1782be682075674',
    source: 'computed by the method of RFC 3414 A.2',
  },
  {
    protocol: 'SHA-256',
    key: '8982e0e549e866db361a6b625d84cccc11162d453ee8ce3a6445c2d6776f0f8b',
    source: 'computed by the method of RFC 3414 A.2',
  },
  {
    protocol: 'SHA-384',
    key: '3b298f16164a11184279d5432bf169e2d2a48307de02b3d3f7e2b4f36eb6f0455a53689a3937eea07319a633d2ccba78',
    source: 'computed by the method of RFC 3414 A.2',
  },
  {
    protocol: 'SHA-512',
    key: '22a5a36cedfcc085807a128d7bc6c2382167ad6c0dbc5fdff856740f3d84c099ad1ea87a8db096714d9788bd544047c9021e4229ce27e4c0a69250adfcffbb0b',
    source: 'computed by the method of RFC 3414 A.2',
  },
] as const;
export const PASSWORD = 'maplesyrup';
export const ENGINE_ID = '000000000000000000000002';

/** Whole messages by the rules of X.690 and RFC 3416, decoded once more with a general ASN.1 tool. */
export const MESSAGES = [
  {
    what: 'version 1 GetRequest of sysDescr.0',
    hex: '302602010004067075626c6963a019020101020100020100300e300c06082b060102010101000500',
    version: '1',
    id: 1,
  },
  {
    what: 'version 2c GetNextRequest of prtAlertEntry',
    hex: '302702010104067075626c6963a11a020102020100020100300f300d06092b060102012b1201010500',
    version: '2c',
    id: 2,
  },
  {
    what: 'version 2c GetBulkRequest of prtMarkerSuppliesEntry, 10 repetitions',
    hex: '302702010104067075626c6963a51a02010302010002010a300f300d06092b060102012b0b01010500',
    version: '2c',
    id: 3,
  },
] as const;

/** Values in basic encoding (X.690 8.3, 8.19; RFC 2578 7.1). */
export const VALUES = [
  { type: 'Integer', hex: '020100', value: 0 },
  { type: 'Integer', hex: '02017f', value: 127 },
  { type: 'Integer', hex: '02020080', value: 128 },
  { type: 'Integer', hex: '0201ff', value: -1 },
  { type: 'Integer', hex: '0201fe', value: -2 },
  { type: 'Integer', hex: '0201fd', value: -3 },
  { type: 'Integer', hex: '0202ff7f', value: -129 },
  { type: 'Integer', hex: '02047fffffff', value: 2_147_483_647 },
  { type: 'Integer', hex: '020480000000', value: -2_147_483_648 },
  { type: 'Counter32', hex: '410500ffffffff', value: 4_294_967_295 },
  { type: 'TimeTicks', hex: '4304075bcd15', value: 123_456_789 },
  { type: 'Counter64', hex: '460900ffffffffffffffff', value: 18_446_744_073_709_551_615n },
  { type: 'ObjectIdentifier', hex: '060c2b060102012b0b0101090101', value: '1.3.6.1.2.1.43.11.1.1.9.1.1' },
  { type: 'ObjectIdentifier', hex: '060f2b06010401950b0102010201010301', value: '1.3.6.1.4.1.2699.1.2.1.2.1.1.3.1' },
  { type: 'NoSuchObject', hex: '8000', value: null },
  { type: 'NoSuchInstance', hex: '8100', value: null },
  { type: 'EndOfMibView', hex: '8200', value: null },
] as const;
