declare module 'ipp/lib/serializer.js' {
  import type { Buffer } from 'node:buffer';

  /** What the package's encoder takes for a request: groups by tag name, attributes by name. Throws strings. */
  interface SerializableRequest {
    version: string;
    operation: string;
    id: number;
    'operation-attributes-tag': Record<string, string | number | readonly string[]>;
  }
  function serialize(request: SerializableRequest): Buffer;
  export default serialize;
}
