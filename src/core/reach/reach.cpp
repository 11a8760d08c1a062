#include "core/reach/reach.hpp"
