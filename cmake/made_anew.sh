#!/bin/sh
# cmake/made_anew.sh COMPILER... -o FILE ...   removes FILE and then runs the compiler.
# The compiler would read a precompiled header that is still there in place of the headers it is to be made from; behind ccache the
# old one then comes back as the new one.
previous=
for word in "$@"; do
  [ "$previous" = -o ] && rm -f "$word"
  previous=$word
done
exec "$@"
