#include "core/library/file_words.h"

#include <algorithm>
#include <filesystem>

namespace beatwitness::library {
namespace {

char lowered(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
}

bool isWordCharacter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80;
}

bool has(const std::vector<std::string>& words, const std::string& word) {
    return std::ranges::find(words, word) != words.end();
}

}  // namespace

std::vector<std::string> wordsIn(std::string_view text) {
    std::vector<std::string> words;
    bool isInside = false;
    for (const char each : text) {
        const char c = lowered(each);
        if (isWordCharacter(c)) {
            if (!isInside) words.emplace_back();
            words.back() += c;
        }
        isInside = isWordCharacter(c);
    }
    return words;
}

std::vector<std::string> fileWords(std::string_view path) {
    auto name = std::filesystem::path(path).filename();
    // "band.csv.gz"
    while (name.has_extension() && name.extension().string().size() <= 5)
        name = name.stem();
    return wordsIn(name.string());
}

bool isNumber(std::string_view word) {
    return std::ranges::all_of(word, [](char c) { return (c >= '0' && c <= '9') || c == 't' || c == 'z'; }) &&
           !word.empty() && word[0] >= '0' && word[0] <= '9';
}

bool holdsWords(const std::vector<std::string>& words, const std::vector<std::string>& part) {
    return !part.empty() && std::ranges::all_of(part, [&](const auto& word) { return has(words, word); });
}

namespace {

double likenessOf(const std::vector<std::string>& a, const std::vector<std::string>& b, bool ofNumbers) {
    const auto counts = [ofNumbers](const std::string& word) { return isNumber(word) == ofNumbers; };
    const auto inA = std::ranges::count_if(a, counts), inB = std::ranges::count_if(b, counts);
    if (inA == 0 || inB == 0) return 0.0;
    const auto both =
        std::ranges::count_if(a, [&](const std::string& word) { return counts(word) && has(b, word); });
    return static_cast<double>(both) / static_cast<double>(std::min(inA, inB));
}

}  // namespace

double likeness(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    return likenessOf(a, b, false);
}

double numberLikeness(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    return likenessOf(a, b, true);
}

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const auto& word : words)
        text += (text.empty() ? "" : " ") + word;
    return text;
}

}  // namespace beatwitness::library
