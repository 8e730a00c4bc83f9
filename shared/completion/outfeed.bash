# bash completion of outfeed. Made from the definitions of the commands.
_outfeed() {
  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command= word options= words=
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case $word in
      sweep|show|why|queue|supplies|defect|testpage|snapshot|compare|agent|demo|completion|check-config) command=$word; break ;;
    esac
  done
  COMPREPLY=()
  case "$command $before" in
    *\ --config) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --community) return ;;
    *\ --snmp-version) COMPREPLY=($(compgen -W '1 2c 3' -- "$current")); return ;;
    *\ --snmp-user) return ;;
    *\ --auth-protocol) COMPREPLY=($(compgen -W 'MD5 SHA-1 SHA-224 SHA-256 SHA-384 SHA-512' -- "$current")); return ;;
    *\ --auth-key-file) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --priv-protocol) COMPREPLY=($(compgen -W 'DES AES-128 AES-192 AES-256 AES-192-C AES-256-C' -- "$current")); return ;;
    *\ --priv-key-file) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --snmp-port) return ;;
    *\ --ipp-uri) return ;;
    *\ --queue) return ;;
    *\ --user) return ;;
    *\ --timeout) return ;;
    *\ --retries) return ;;
    *\ --pace) COMPREPLY=($(compgen -W 'gentle steady brisk' -- "$current")); return ;;
    *\ --listen) return ;;
    *\ --since) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --record) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --file) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --save) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --from) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --answer) return ;;
    *\ --queue-report) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --events) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --spooler) return ;;
    *\ --apply) COMPREPLY=($(compgen -W 'hold cancel' -- "$current")); return ;;
    *\ --job) return ;;
    *\ --yes) return ;;
    *\ --history) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --as-of) return ;;
    *\ --interval) return ;;
    *\ --lead-days) return ;;
    *\ --risk) return ;;
    *\ --csv) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --symptom) COMPREPLY=($(compgen -W 'jam faded repeating-marks streak blank no-feed garbled line-across smudge background-haze faded-one-colour ghost jam-at-fuser jam-at-tray jam-inside multi-feed partial-page spots white-streak wrong-colour colour-shifted crease faded-one-side jam-in-duplex skew curl doubled-lines jam-at-exit jam-without-paper voids black-page staircase' -- "$current")); return ;;
    *\ --technology) COMPREPLY=($(compgen -W 'laser inkjet thermal impact' -- "$current")); return ;;
    *\ --marks) return ;;
    *\ --reading-error) return ;;
    *\ --scale) return ;;
    *\ --model) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --paper) return ;;
    *\ --grain) COMPREPLY=($(compgen -W 'along across' -- "$current")); return ;;
    *\ --humidity) return ;;
    *\ --page) return ;;
    *\ --memory) return ;;
    *\ --point) return ;;
    *\ --diagonals) return ;;
    *\ --line) return ;;
    *\ --html) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --via) COMPREPLY=($(compgen -W 'ipp raw lpd queue' -- "$current")); return ;;
    testpage\ --out) COMPREPLY=($(compgen -f -- "$current")); return ;;
    *\ --media) COMPREPLY=($(compgen -W 'a4 letter' -- "$current")); return ;;
    *\ --format) COMPREPLY=($(compgen -W 'pdf postscript pwg-raster pcl5 text' -- "$current")); return ;;
    *\ --came-out) COMPREPLY=($(compgen -W 'yes no' -- "$current")); return ;;
    snapshot\ --out) COMPREPLY=($(compgen -d -- "$current")); return ;;
    *\ --last-visit) return ;;
    *\ --next-visit) return ;;
    *\ --acknowledge) return ;;
    *\ --note) return ;;
    *\ --plan) return ;;
    *\ --printer) return ;;
    *\ --new-token) COMPREPLY=($(compgen -f -- "$current")); return ;;
  esac
  case $command in
    sweep) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --pace --listen --yes-large --allow-public --since -h --help'; words='' ;;
    show) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --identify --record -h --help'; words='' ;;
    why) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --file --save --from --answer --ask --queue-report --events -h --help'; words='' ;;
    queue) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --queue-report --events --spooler --apply --job --yes -h --help'; words='' ;;
    supplies) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --pace --listen --yes-large --allow-public --history --as-of --interval --lead-days --risk --csv -h --help'; words='' ;;
    defect) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --symptom --technology --marks --reading-error --scale --model --answer --paper --grain --humidity --page --memory --point --diagonals --line --html --ask -h --help'; words='' ;;
    testpage) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --via --print --out --media --format --save --came-out -h --help'; words='' ;;
    snapshot) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --ipp-uri --queue --user --timeout --retries --pace --listen --yes-large --allow-public --out --zip --last-visit --next-visit --redact -h --help'; words='' ;;
    compare) options='--config --json -q --quiet -v --verbose --no-color --html -h --help'; words='@file' ;;
    agent) options='--config --json -q --quiet -v --verbose --no-color --community --snmp-version --snmp-user --auth-protocol --auth-key-file --priv-protocol --priv-key-file --snmp-port --timeout --retries --once --acknowledge --note --plan --printer --install-help --new-token -h --help'; words='' ;;
    demo) options='--config --json -q --quiet -v --verbose --no-color --stay -h --help'; words='' ;;
    completion) options='-h --help'; words='bash zsh fish' ;;
    check-config) options='--config --json -q --quiet -v --verbose --no-color -h --help'; words='@file' ;;
    *) options='-V --version -h --help'; words='sweep show why queue supplies defect testpage snapshot compare agent demo completion check-config help' ;;
  esac
  case $current in
    -*) COMPREPLY=($(compgen -W "$options" -- "$current")) ;;
    *) COMPREPLY=($(compgen -W "$words" -- "$current")) ;;
  esac
  if [[ $words == @file ]]; then COMPREPLY=($(compgen -f -- "$current")); fi
}
complete -o filenames -F _outfeed outfeed
