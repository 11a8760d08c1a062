#!/bin/sh
# cmake/made_anew.sh COMPILER... -o FILE ...   removes FILE, runs the compiler, and writes beside FILE a digest of what it was made of.
# The compiler would read a precompiled header that is still there in place of the headers it is to be made from; behind ccache the
# old one then comes back as the new one. And no two runs of the compiler write the same bytes, so ccache asks for the digest instead.
previous= made= reads=
for word in "$@"; do
  [ "$previous" = -o ] && made=$word && rm -f "$word" "$word.sum"
  [ "$previous" = -MF ] && reads=$word
  previous=$word
done
"$@" || exit
case $made in
  *.gch) sed -e 's/^[^:]*://' -e 's/\\$//' "$reads" | xargs cat | sha256sum >"$made.sum" ;;
esac
