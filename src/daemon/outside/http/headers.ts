import type { FastifyHelmetOptions } from '@fastify/helmet';

/**
 * What every answer carries. The policy (CSP level 3) lets a page load style sheets, scripts and pictures from here only, send forms
 * here only, and be framed by nobody. The referrer stays within this server, because a form under `no-referrer` would send
 * `Origin: null` (Fetch, section 3.2) and could not be told from a stranger's.
 */
export function securityHeaders(tls: boolean): FastifyHelmetOptions {
  return {
    global: true,
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'data:'],
        connectSrc: ["'self'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        baseUri: ["'none'"],
      },
    },
    crossOriginOpenerPolicy: { policy: 'same-origin' },
    crossOriginResourcePolicy: { policy: 'same-origin' },
    referrerPolicy: { policy: 'same-origin' },
    xFrameOptions: { action: 'deny' },
    xDnsPrefetchControl: false,
    xDownloadOptions: false,
    xPermittedCrossDomainPolicies: false,
    xXssProtection: false,
    // A certificate of one's own and a browser that insists on it would lock people out of the machine's other services.
    strictTransportSecurity: false,
    ...(tls ? {} : { originAgentCluster: false }),
  };
}
