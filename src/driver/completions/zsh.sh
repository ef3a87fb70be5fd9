#compdef benchleaf
# zsh completion for benchleaf. The program itself says what may come next, so this file stays as it is when the program changes.
#     source <(benchleaf completion zsh)        or as a file _benchleaf in a folder of $fpath

_benchleaf() {
    local program=${${(Q)words[1]}/#\~\//$HOME/} option= each
    local -a answer pairs
    answer=("${(@f)$("$program" what-next -- "${(@)words[2,CURRENT-1]}" "$PREFIX" 2>/dev/null)}")
    if [[ $PREFIX == --*=* ]]; then option=${PREFIX%%=*}=; fi
    case $answer[1] in
    files | folders) # zsh spells names of files
        if [[ -n $option ]]; then compset -P '*='; fi
        if [[ $answer[1] == folders ]]; then _path_files -/; else _files; fi
        ;;
    words)
        for each in "${(@)answer[2,-1]}"; do
            # A word and what it is, with a colon between them.
            pairs+=("${${each%%$'\t'*}//:/\\:}:${each#*$'\t'}")
        done
        # -U: what begins as it was typed, the program has looked at.
        if (($#pairs)); then _describe -t words benchleaf pairs -U -P "$option"; fi
        ;;
    esac
}

if [[ $funcstack[1] == _benchleaf ]]; then
    _benchleaf "$@"
elif (($+functions[compdef])); then
    compdef _benchleaf benchleaf
fi
