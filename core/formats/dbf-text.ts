import { decodeGuessed, decodeText } from '../base/text.ts';

/** How the text cells of a table are decoded, and how that is known. */
export interface TableText {
  readonly decode: (bytes: Uint8Array) => string;
  /** `Windows-1252, from the table's language byte`. */
  readonly words: string;
  /** Name in the .cpg or number of the language byte that is not known. */
  readonly unknown?: string;
}

/** Upper halves of the DOS code pages that decoders of the web leave out. Source: Unicode Consortium, MAPPINGS/VENDORS/MICSFT/PC. */
const DOS: Readonly<Record<string, string>> = {
  '437':
    'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0',
  '850':
    'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u00ad±‗¾¶§÷¸°¨·¹³²■\u00a0',
  '852':
    'ÇüéâäůćçłëŐőîŹÄĆÉĹĺôöĽľŚśÖÜŤťŁ×čáíóúĄąŽžĘę¬źČş«»░▒▓│┤ÁÂĚŞ╣║╗╝Żż┐└┴┬├─┼Ăă╚╔╩╦╠═╬¤đĐĎËďŇÍÎě┘┌█▄ŢŮ▀ÓßÔŃńňŠšŔÚŕŰýÝţ´\u00ad˝˛ˇ˘§÷¸°¨˙űŘř■\u00a0',
};

/** WHATWG labels of code pages that are not `windows-<number>`. */
const LABELS: Readonly<Record<string, string>> = {
  '866': 'ibm866',
  '874': 'windows-874',
  '932': 'shift_jis',
  '936': 'gbk',
  '949': 'euc-kr',
  '950': 'big5',
  '10000': 'macintosh',
  '20127': 'windows-1252',
  '65001': 'utf-8',
};

/** Code page of a dBASE language byte (byte 29). Source: dBASE and FoxPro language driver IDs as GDAL lists them. */
const LANGUAGE_BYTES: Readonly<Record<number, string>> = {
  1: '437',
  2: '850',
  3: '1252',
  4: '10000',
  19: '932',
  38: '866',
  77: '936',
  78: '949',
  79: '950',
  80: '874',
  87: '1252',
  88: '1252',
  89: '1252',
  100: '852',
  101: '866',
  120: '950',
  121: '949',
  122: '936',
  123: '932',
  124: '874',
  200: '1250',
  201: '1251',
  202: '1254',
  203: '1253',
  204: '1257',
};

/**
 * How a table's text is to be read: by its .cpg, else by its language byte, else UTF-8 where the bytes are UTF-8 and
 * Windows-1252 otherwise. `sample` is the whole of the records, which the guess is made from.
 */
export function tableText(cpg: string | null, languageByte: number, sample: Uint8Array): TableText {
  const told = (cpg ?? '')
    .replace(/^\uFEFF/, '')
    .replace(/\0/g, '')
    .trim();
  if (told !== '') {
    const page = codePage(told);
    const found = page === null ? null : decoderOf(page, `as the .cpg says (${told})`);
    if (found) return found;
    return { ...guess(sample), unknown: told };
  }
  if (languageByte !== 0) {
    const page = LANGUAGE_BYTES[languageByte];
    const found = page === undefined ? null : decoderOf(page, "by the table's language byte");
    if (found) return found;
    return { ...guess(sample), unknown: `language byte ${languageByte}` };
  }
  return guess(sample);
}

function guess(sample: Uint8Array): TableText {
  const { encoding } = decodeGuessed(sample);
  return {
    decode: (bytes) => decodeText(bytes, encoding),
    words: encoding === 'utf-8' ? 'UTF-8, since its bytes are that' : 'Windows-1252, a guess since nothing says',
  };
}

/** `1252`, `iso-8859-2`, `utf-8`, out of the many ways that a .cpg is written; null when it is none of them. */
function codePage(told: string): string | null {
  const text = told.toUpperCase();
  if (/^UTF-?8$/.test(text)) return 'utf-8';
  const language = /^LDID[/ ]?(\d{1,3})$/.exec(text)?.[1];
  if (language !== undefined) return LANGUAGE_BYTES[Number(language)] ?? null;
  const iso = /^(?:ISO)?[-_ ]?8859[-_ ]?(1[0-6]|[1-9])$/.exec(text)?.[1];
  if (iso !== undefined) return `iso-8859-${iso}`;
  const number = /^(?:ANSI|OEM|CP|WINDOWS|MS|IBM)?[-_ ]?(\d{3,5})$/.exec(text)?.[1];
  if (number !== undefined)
    return /^2859[1-9]$|^2860[0-5]$/.test(number) ? `iso-8859-${Number(number) - 28590}` : number;
  return /^(BIG-?5|GBK|GB18030|GB2312|SHIFT[-_]JIS|SJIS|EUC-(KR|JP)|KOI8-[RU]|MACINTOSH)$/.test(text)
    ? text.toLowerCase()
    : null;
}

function decoderOf(page: string, how: string): TableText | null {
  const dos = DOS[page];
  if (dos !== undefined) {
    return {
      decode: (bytes) => Array.from(bytes, (b) => (b < 128 ? String.fromCharCode(b) : (dos[b - 128] ?? ''))).join(''),
      words: `code page ${page}, ${how}`,
    };
  }
  const label = LABELS[page] ?? (/^125\d$/.test(page) ? `windows-${page}` : page);
  try {
    decodeText(new Uint8Array(), label);
  } catch {
    return null;
  }
  return {
    decode: (bytes) => decodeText(bytes, label),
    words: `${label.toUpperCase().replace('WINDOWS', 'Windows')}, ${how}`,
  };
}
