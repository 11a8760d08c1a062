#include "core/skin/skin.hpp"
