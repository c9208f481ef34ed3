#include "core/recording/fit_sports.h"

#include <algorithm>
#include <array>

namespace beatwitness::recording {
namespace {

struct Word {
    int number;
    const char* words;
};

constexpr std::array<Word, 28> sports{{{1, "running"},
                                       {2, "cycling"},
                                       {4, "fitness equipment"},
                                       {5, "swimming"},
                                       {6, "basketball"},
                                       {7, "football"},
                                       {8, "tennis"},
                                       {10, "training"},
                                       {11, "walking"},
                                       {12, "cross-country skiing"},
                                       {13, "alpine skiing"},
                                       {14, "snowboarding"},
                                       {15, "rowing"},
                                       {16, "mountaineering"},
                                       {17, "hiking"},
                                       {18, "multisport"},
                                       {19, "paddling"},
                                       {21, "e-biking"},
                                       {25, "golf"},
                                       {27, "horse riding"},
                                       {30, "inline skating"},
                                       {31, "rock climbing"},
                                       {32, "sailing"},
                                       {33, "ice skating"},
                                       {35, "snowshoeing"},
                                       {41, "kayaking"},
                                       {47, "boxing"},
                                       {48, "floor climbing"}}};

constexpr std::array<Word, 15> subSports{{{1, "treadmill"},
                                          {3, "trail running"},
                                          {4, "track running"},
                                          {5, "spinning"},
                                          {6, "indoor cycling"},
                                          {7, "road cycling"},
                                          {8, "mountain biking"},
                                          {14, "indoor rowing"},
                                          {15, "elliptical"},
                                          {16, "stair climbing"},
                                          {17, "pool swimming"},
                                          {18, "open-water swimming"},
                                          {20, "strength training"},
                                          {26, "cardio training"},
                                          {43, "yoga"}}};

template <std::size_t N>
std::string wordsOf(const std::array<Word, N>& table, std::optional<double> number) {
    if (!number) return {};
    // Compared as it came: a damaged file can hold numbers that no int does.
    const auto found = std::ranges::find_if(
        table, [&](const Word& word) { return static_cast<double>(word.number) == *number; });
    return found == table.end() ? std::string{} : found->words;
}

}  // namespace

std::string fitSportWords(std::optional<double> sport, std::optional<double> subSport) {
    auto words = wordsOf(subSports, subSport);
    return words.empty() ? wordsOf(sports, sport) : words;
}

}  // namespace beatwitness::recording
