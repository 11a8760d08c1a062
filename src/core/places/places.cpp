#include "core/places/places.hpp"
