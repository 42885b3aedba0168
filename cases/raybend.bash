# Completion of raybend's words for bash. Commands and options are asked of the program itself, so that none is forgotten.
_raybend() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} program=${COMP_WORDS[0]} names
  if [ "$COMP_CWORD" = 1 ] || [ "$before" = help ]; then
    names="$("$program" --help 2> /dev/null | sed -n 's/^  raybend \([a-z][a-z]*\) .*/\1/p') --help --version"
  elif [ "$before" = --resolution ]; then
    names="coarse standard fine"
  elif [ "$before" = --out ]; then
    mapfile -t COMPREPLY < <(compgen -d -- "$word")
    return
  elif [ "${word:0:1}" = - ]; then
    names="$("$program" help "${COMP_WORDS[1]}" 2> /dev/null | grep -o -e '--[a-z][a-z-]*' | sort -u)"
  elif [ "${COMP_WORDS[1]}" = textbook ] || [ "${COMP_WORDS[1]}" = validate ]; then
    names="$("$program" "${COMP_WORDS[1]}" --list 2> /dev/null | sed 's/ .*//')"
  else
    mapfile -t COMPREPLY < <(compgen -d -- "$word"; compgen -f -X '!*.toml' -- "$word")
    return
  fi
  mapfile -t COMPREPLY < <(compgen -W "$names" -- "$word")
}
complete -o filenames -F _raybend raybend
