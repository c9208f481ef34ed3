#include "core/library/column_codec.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numeric>

namespace beatwitness::library {
namespace {

constexpr char timesTag = 'T', scaledTag = 'S', rawTag = 'R';
constexpr std::size_t headSize = 1 + 8 + 8 + 8 + 1;
constexpr std::array<double, 4> scales{1, 10, 100, 1000};
constexpr double largestWhole = 9007199254740992.0;  // 2^53: beyond, doubles skip whole numbers
constexpr int fastest = 1;

struct Head {
    char tag = timesTag;
    std::uint64_t rows = 0;
    std::uint64_t first = 0;
    std::uint64_t unit = 0;
    std::size_t width = 0;
};

constexpr std::uint64_t zigzag(std::uint64_t step) {
    return step << 1 ^ (0 - (step >> 63));
}
constexpr std::uint64_t unzigzag(std::uint64_t coded) {
    return coded >> 1 ^ (0 - (coded & 1));
}

void putWhole(std::byte* at, std::uint64_t value) {
    for (int i = 0; i < 8; ++i)
        at[i] = static_cast<std::byte>(value >> (8 * i));
}

std::uint64_t whole(const std::byte* at) {
    std::uint64_t value = 0;
    for (int i = 0; i < 8; ++i)
        value |= static_cast<std::uint64_t>(at[i]) << (8 * i);
    return value;
}

std::size_t widthOf(std::span<const std::uint64_t> rows) {
    std::uint64_t bits = 0;
    for (const auto row : rows)
        bits |= row;
    return (static_cast<std::size_t>(std::bit_width(bits)) + 7) / 8;
}

/// Head and byte planes of `further`, the rows but the first.
std::vector<std::byte> laidOut(Head head, std::span<const std::uint64_t> further) {
    head.width = widthOf(further);
    std::vector<std::byte> bytes(headSize + head.width * further.size());
    bytes[0] = static_cast<std::byte>(head.tag);
    putWhole(&bytes[1], head.rows);
    putWhole(&bytes[9], head.first);
    putWhole(&bytes[17], head.unit);
    bytes[25] = static_cast<std::byte>(head.width);
    std::byte* plane = bytes.data() + headSize;
    for (std::size_t byte = 0; byte < head.width; ++byte, plane += further.size())
        for (std::size_t i = 0; i < further.size(); ++i)
            plane[i] = static_cast<std::byte>(further[i] >> (8 * byte));
    return bytes;
}

/// Nothing where head and length do not fit.
std::optional<Head> headOf(std::span<const std::byte> bytes) {
    if (bytes.size() < headSize) return std::nullopt;
    Head head{static_cast<char>(bytes[0]), whole(&bytes[1]), whole(&bytes[9]), whole(&bytes[17]),
              static_cast<std::size_t>(bytes[25])};
    const std::size_t left = bytes.size() - headSize;
    const std::uint64_t further = head.rows == 0 ? 0 : head.rows - 1;
    if (head.width > 8) return std::nullopt;
    if (head.width == 0) {
        // Rows that are all alike take no bytes: only the checksum of the frame vouches for their number.
        constexpr std::uint64_t mostAlike = std::uint64_t{1} << 27;
        return left == 0 && further < mostAlike ? std::optional{head} : std::nullopt;
    }
    return left % head.width == 0 && left / head.width == further ? std::optional{head} : std::nullopt;
}

std::vector<std::uint64_t> furtherRows(const Head& head, std::span<const std::byte> bytes) {
    std::vector<std::uint64_t> rows(head.rows == 0 ? 0 : head.rows - 1);
    const std::byte* plane = bytes.data() + headSize;
    for (std::size_t byte = 0; byte < head.width; ++byte, plane += rows.size())
        for (std::size_t i = 0; i < rows.size(); ++i)
            rows[i] |= static_cast<std::uint64_t>(plane[i]) << (8 * byte);
    return rows;
}

/// What every step is a multiple of; 1 where there is none. Steps wrap around, so that any two instants have
/// one.
std::uint64_t commonStep(std::span<const std::uint64_t> steps) {
    std::uint64_t common = 0, last = 0;
    for (const auto step : steps) {
        if (step == last) continue;
        last = step;
        const std::uint64_t size = step >> 63 ? 0 - step : step;
        if (common == 0 || size % common != 0) common = std::gcd(common, size);
        if (common == 1) break;
    }
    return common == 0 ? 1 : common;
}

/// The step in units; exact, since the unit divides it.
std::uint64_t inUnits(std::uint64_t step, std::uint64_t unit) {
    if (unit == 1) return step;
    return step >> 63 ? 0 - (0 - step) / unit : step / unit;
}

/// `value` times `scale` where dividing again gives exactly `value`, sign of zero included.
bool scaled(double value, double scale, std::int64_t& whole) {
    const double product = value * scale;
    if (!(std::abs(product) < largestWhole)) return false;
    whole = static_cast<std::int64_t>(product + (product < 0 ? -0.5 : 0.5));
    return std::bit_cast<std::uint64_t>(static_cast<double>(whole) / scale) ==
           std::bit_cast<std::uint64_t>(value);
}

/// Fills `rows` with the scaled values; false where one does not fit.
bool scaleAll(std::span<const double> values, double scale, std::vector<std::uint64_t>& rows) {
    rows.resize(values.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        std::int64_t whole = 0;
        if (!scaled(values[i], scale, whole)) return false;
        rows[i] = static_cast<std::uint64_t>(whole);
    }
    return true;
}

/// Each row but the first becomes its step from the row before.
void toSteps(std::vector<std::uint64_t>& rows) {
    for (std::size_t i = rows.size(); i-- > 1;)
        rows[i] -= rows[i - 1];
}

}  // namespace

std::vector<std::byte> ColumnEncoder::encode(std::span<const RecordingTime> times) {
    if (times.empty()) return packer_.pack(laidOut({timesTag}, {}), fastest);
    rows_.resize(times.size());
    for (std::size_t i = 0; i < times.size(); ++i)
        rows_[i] = static_cast<std::uint64_t>(times[i].time_since_epoch().count());
    toSteps(rows_);
    const auto steps = std::span{rows_}.subspan(1);
    const std::uint64_t unit = commonStep(steps);
    std::uint64_t last = 0, coded = 0;
    for (auto& step : steps) {
        if (step != last) {
            last = step;
            coded = zigzag(inUnits(step, unit));
        }
        step = coded;
    }
    return packer_.pack(laidOut({timesTag, times.size(), rows_[0], unit}, steps), fastest);
}

std::vector<std::byte> ColumnEncoder::encode(std::span<const double> values) {
    if (values.empty()) return packer_.pack(laidOut({rawTag}, {}), fastest);
    for (const double scale : scales) {
        if (!scaleAll(values, scale, rows_)) continue;
        toSteps(rows_);
        const auto steps = std::span{rows_}.subspan(1);
        for (auto& step : steps)
            step = zigzag(step);
        return packer_.pack(
            laidOut({scaledTag, values.size(), rows_[0], static_cast<std::uint64_t>(scale)}, steps), fastest);
    }
    for (std::size_t i = 0; i < values.size(); ++i)
        rows_[i] = std::bit_cast<std::uint64_t>(values[i]);
    for (std::size_t i = values.size(); i-- > 1;)
        rows_[i] ^= rows_[i - 1];
    return packer_.pack(laidOut({rawTag, values.size(), rows_[0], 0}, std::span{rows_}.subspan(1)), fastest);
}

std::optional<std::vector<RecordingTime>> ColumnDecoder::times(std::span<const std::byte> column) {
    const auto bytes = unpacker_.unpack(column);
    if (!bytes) return std::nullopt;
    const auto head = headOf(*bytes);
    if (!head || head->tag != timesTag) return std::nullopt;
    std::vector<RecordingTime> times;
    if (head->rows == 0) return times;
    times.reserve(head->rows);
    std::uint64_t time = head->first;
    times.emplace_back(Micros{static_cast<std::int64_t>(time)});
    for (const auto coded : furtherRows(*head, *bytes)) {
        time += unzigzag(coded) * head->unit;
        times.emplace_back(Micros{static_cast<std::int64_t>(time)});
    }
    return times;
}

std::optional<std::vector<double>> ColumnDecoder::values(std::span<const std::byte> column) {
    const auto bytes = unpacker_.unpack(column);
    if (!bytes) return std::nullopt;
    const auto head = headOf(*bytes);
    if (!head || (head->tag != scaledTag && head->tag != rawTag)) return std::nullopt;
    const bool isScaled = head->tag == scaledTag;
    if (isScaled && head->unit == 0) return std::nullopt;
    std::vector<double> values;
    if (head->rows == 0) return values;
    const auto scale = static_cast<double>(head->unit);
    std::uint64_t row = head->first;
    const auto append = [&] {
        values.push_back(isScaled ? static_cast<double>(static_cast<std::int64_t>(row)) / scale
                                  : std::bit_cast<double>(row));
    };
    values.reserve(head->rows);
    append();
    for (const auto coded : furtherRows(*head, *bytes)) {
        if (isScaled)
            row += unzigzag(coded);
        else
            row ^= coded;
        append();
    }
    return values;
}

}  // namespace beatwitness::library
