// Names are for telling slips of two tastings apart at a glance and aloud.

#include "oddplate/tasting/names.hpp"

#include <algorithm>
#include <array>

namespace oddplate::tasting {
namespace {

constexpr std::string_view k_letters = "bcdfghjkmnpqrstvwxyz";

constexpr std::array<std::string_view, 64> k_first{
    "BLUE",  "GREEN", "GREY",   "WHITE", "BLACK", "AMBER", "CORAL", "IVORY",  "NAVY",  "OLIVE",  "PEARL", "SILVER", "COPPER", "BRONZE", "IRON",   "SLATE",
    "NORTH", "SOUTH", "EAST",   "WEST",  "UPPER", "OUTER", "INNER", "MIDDLE", "ROUND", "SQUARE", "LONG",  "WIDE",   "TALL",   "NARROW", "DEEP",   "LEVEL",
    "QUIET", "STILL", "EARLY",  "LATE",  "MORNING", "NOON", "EVENING", "WINTER", "SPRING", "SUMMER", "AUTUMN", "MARCH", "APRIL", "JUNE", "AUGUST", "MONDAY",
    "STONE", "WOODEN", "PAPER", "LINEN", "WOOL",  "GLASS", "BRICK", "CLAY",   "CANVAS", "COTTON", "STRAW", "SANDY", "MARBLE", "VELVET", "WICKER", "TILED"};

constexpr std::array<std::string_view, 64> k_second{
    "GATE",   "BRIDGE", "TOWER", "HARBOUR", "WINDOW", "LADDER", "LANTERN", "ANCHOR", "BASKET", "BENCH",  "BELL",   "BOAT",  "BUCKET", "CANDLE", "CHAIR",  "CLOCK",
    "COMPASS", "CORNER", "DOOR", "FENCE",   "FERRY",  "FIELD",  "FLAG",    "GARDEN", "HAMMER", "HARP",   "HILL",   "HOUSE", "ISLAND", "JACKET", "KETTLE", "KITE",
    "LAKE",   "LEAF",   "LIBRARY", "MEADOW", "MIRROR", "MOUNTAIN", "NEEDLE", "PENCIL", "PIANO", "PILLOW", "POND",  "PORCH", "RIBBON", "RIVER",  "ROAD",   "ROOF",
    "ROPE",   "SADDLE", "SAIL",  "SHELF",   "SHIP",   "STAIR",  "STREET",  "TABLE",  "TENT",   "THIMBLE", "TRAIN", "TUNNEL", "UMBRELLA", "VALLEY", "WAGON", "WHEEL"};

}   // namespace

std::string new_id(const core::Bytes32& random) {
    std::string id;
    for (std::size_t i = 0; id.size() < 8 && i < random.size(); ++i)
        if (random[i] < 240) id += k_letters[random[i] % k_letters.size()];   // 240 = 12 x 20: every letter alike
    while (id.size() < 8) id += k_letters[random[id.size()] % k_letters.size()];
    return id;
}

bool is_id(std::string_view text) {
    return text.size() == 8 && std::all_of(text.begin(), text.end(), [](char c) { return k_letters.find(c) != std::string_view::npos; });
}

std::string two_words(std::string_view id) {
    const core::Bytes32 hash = core::sha256("two words of " + std::string(id));
    return std::string(k_first[hash[0] % 64]) + " " + std::string(k_second[hash[1] % 64]);
}

}   // namespace oddplate::tasting
