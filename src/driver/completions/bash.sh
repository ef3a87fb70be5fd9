# bash completion for benchleaf. The program itself says what may come next, so this file stays as it is when the program changes.
#     source <(benchleaf completion bash)
# shellcheck shell=bash

_benchleaf() {
    local program=${COMP_WORDS[0]/#\~\//$HOME/} typed=${COMP_WORDS[COMP_CWORD]} word said
    local -a line=() answer=()
    # bash parts `--as=pdf` at the `=`, and the program wants it whole.
    for word in "${COMP_WORDS[@]:1:COMP_CWORD}"; do
        if ((${#line[@]})) && [[ $word == "=" || ${line[-1]} == --*= ]]; then
            line[-1]+=$word
        else
            line+=("$word")
        fi
    done
    mapfile -t answer < <("$program" what-next -- "${line[@]}" 2>/dev/null)
    COMPREPLY=()
    said=${answer[0]-}
    case $said in
    files) compopt -o default ;; # bash spells names of files
    folders) compopt -o dirnames ;;
    words)
        for word in "${answer[@]:1}"; do
            word=${word%%$'\t'*}
            # Who unset the `=` as a break between words gets the whole of it back.
            if [[ $typed == --*=* ]]; then word=${typed%%=*}=$word; fi
            # Inside quotes bash takes it as it is.
            if [[ $typed != [\"\']* ]]; then printf -v word %q "$word"; fi
            COMPREPLY+=("$word")
        done
        ;;
    esac
}
complete -F _benchleaf benchleaf
