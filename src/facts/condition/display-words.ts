/** A keyword (PWG 5100.9), the PrtAlertGroupTC of its part, and how panels say it. */
export interface DisplayWords {
  readonly reason: string;
  readonly group: string | null;
  readonly says: RegExp;
}

/**
 * How the panels of printers word what stops them, in the languages that small offices set them to: English, German, French, Spanish,
 * Italian, Portuguese, Dutch. The precise ones first. Common practice, no published source.
 */
export const DISPLAY_WORDS: readonly DisplayWords[] = [
  {
    reason: 'media-jam',
    group: 'mediaPath',
    says: /\bjam(med)?\b|\bmisfeed|papierstau|papierstoring|bourrage|atasco|inceppa(mento|ta)|atolamento|encravamento|vastgelopen/i,
  },
  {
    reason: 'cover-open',
    group: 'cover',
    says: /\b(cover|door|lid)\b.{0,20}\bopen|(open|close)\b.{0,12}\b(cover|door|lid)\b|(klappe|abdeckung|tür|deckel).{0,20}(offen|geöffnet|schließen)|(capot|porte).{0,20}ouvert|(cubierta|puerta|tapa).{0,20}abierta|(coperchio|sportello).{0,20}aperto|(tampa|porta).{0,20}aberta|(klep|deksel).{0,20}(open|sluiten)/i,
  },
  {
    reason: 'fuser-failure',
    group: 'marker',
    says: /fus(er|ing)\b.{0,20}(error|fail|fault|malfunction)|(error|fail|fault).{0,12}fus(er|ing)\b|fixier(er|einheit).{0,20}fehler|(erreur|panne).{0,16}(four|unité de fusion)|error.{0,12}fusor|errore.{0,12}fusore/i,
  },
  {
    reason: 'marker-waste-full',
    group: 'markerSupplies',
    says: /waste\b.{0,24}\b(full|replace|empty)|(replace|empty|change)\b.{0,12}\bwaste|resttoner.{0,24}(voll|ersetzen|austauschen|leeren)|(bac|récupérat).{0,24}(plein|usag)|(residu|residuo).{0,24}(lleno|pieno|cheio)|afvaltoner.{0,20}vol/i,
  },
  {
    reason: 'marker-supply-empty',
    group: 'markerSupplies',
    says: /\b(toner|ink|cartridge)\b.{0,16}\b(out|empty|end|depleted)\b|\b(out of|no|replace|change) (the )?((black|cyan|magenta|yellow) )?(toner|ink|cartridge)/i,
  },
  {
    reason: 'marker-supply-empty',
    group: 'markerSupplies',
    says: /(t[oó]ner|tint[ae]|patrone|encre|cartouche|cartucho|cartuccia).{0,16}(leer|ersetzen|austauschen|wechseln|vide|épuisé|vacío|agotad|vazio|esgotad|vuot|esaurit)|(remplace[rz]|sostituire).{0,20}(toner|cartouche|cartuccia)/i,
  },
  {
    reason: 'input-tray-missing',
    group: 'input',
    says: /(insert|close|install)\b.{0,8}\b(tray|cassette|drawer)|\b(tray|cassette|drawer)\b.{0,12}\b(missing|removed|open|out)\b|(fach|kassette).{0,12}(fehlt|einsetzen|einschieben)/i,
  },
  {
    reason: 'media-empty',
    group: 'input',
    says: /\b(load|add|no|out of|refill)\b.{0,10}\bpaper|\bpaper\b.{0,6}\b(out|empty|end)\b|\b(tray|cassette|drawer)\b.{0,6}\b(is )?empty|kein papier|papier.{0,10}(leer|fehlt|nachfüllen|einlegen|auffüllen|op\b|bijvullen)|plus de papier|(charger?|ajouter) (du )?papier|manque (de )?papier|(sin|falta|cargu?e|añada).{0,8}papel|(carta) (esaurita|mancante)|caricare (la )?carta|(sem|coloque|carregue) papel/i,
  },
  {
    reason: 'output-area-full',
    group: 'output',
    says: /(output|exit|stacker|bin)\b.{0,12}\bfull|(ausgabe|ablage).{0,24}voll|(bac|sortie).{0,16}plein|(salida|bandeja).{0,16}llena|uscita.{0,12}pien/i,
  },
  {
    reason: 'service-requested',
    group: 'generalPrinter',
    says: /\bcall (for )?service|service (call|required|needed|error)|contact (a )?(technician|service)|kundendienst|techniker|appele[rz] .{0,20}(technicien|sav|service)|llame al servicio|assistenza tecnica/i,
  },
  {
    reason: 'paused',
    group: 'generalPrinter',
    says: /\bpaused?\b|angehalten|en pause|en pausa|in pausa|pausad[ao]|gepauzeerd/i,
  },
  { reason: 'offline', group: 'generalPrinter', says: /\boff-?\s?line\b|hors ligne|fuera de línea|non in linea/i },
];
