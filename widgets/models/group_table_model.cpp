#include "widgets/models/group_table_model.h"

#include <numeric>

#include "widgets/format/number_text.h"

namespace beatwitness::widgets {
namespace {

using agreement::Interval;
using evaluation::AgreementGroup;
using evaluation::GroupKey;

QString word(const char* text) {
    return GroupTableModel::tr(text);
}

QString fromCore(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

/// A number that is no metric.
struct Count {
    const char* name;
    const char* definition;
    int decimals;
    std::optional<double> (*value)(const AgreementGroup&);
};

constexpr std::array counts{
    Count{QT_TR_NOOP("sessions"), QT_TR_NOOP("Sessions with a paired second: the sampling units."), 0,
          [](const AgreementGroup& g) { return std::optional{static_cast<double>(g.sessions)}; }},
    Count{QT_TR_NOOP("pairs"),
          QT_TR_NOOP("Seconds (or epochs) in which reference and device both have a value."), 0,
          [](const AgreementGroup& g) { return std::optional{g.pairs}; }},
    Count{
        QT_TR_NOOP("coverage, %"),
        QT_TR_NOOP("Pairs, as a share of the seconds in which the reference has a value."), 1,
        [](const AgreementGroup& g) { return g.coverage ? std::optional{g.coverage->value} : std::nullopt; }},
    Count{
        QT_TR_NOOP("own-span coverage, %"),
        QT_TR_NOOP("The same between the device's first and last sample: a late start and an early stop are "
                   "told apart."),
        1,
        [](const AgreementGroup& g) {
            return g.ownSpanCoverage ? std::optional{g.ownSpanCoverage->value} : std::nullopt;
        }},
    Count{QT_TR_NOOP("late start, s"), QT_TR_NOOP("Reference seconds before the device's first sample."), 0,
          [](const AgreementGroup& g) { return std::optional{g.lateStartSeconds}; }},
    Count{QT_TR_NOOP("early stop, s"), QT_TR_NOOP("Reference seconds after the device's last sample."), 0,
          [](const AgreementGroup& g) { return std::optional{g.earlyStopSeconds}; }},
    Count{QT_TR_NOOP("left out, s"),
          QT_TR_NOOP("Seconds in which the reference itself failed, which are left out."), 0,
          [](const AgreementGroup& g) { return std::optional{g.excludedReferenceSeconds}; }},
    Count{QT_TR_NOOP("independent, s"),
          QT_TR_NOOP(
              "What neighbouring seconds, which repeat each other, are worth: n over 1 + 2 times the sum "
              "of (1 - l/n) autocorrelation at lag l."),
          0, [](const AgreementGroup& g) { return std::optional{g.independentSeconds}; }},
};

enum LimitColumn { LowerLimit, UpperLimit, limitColumns };
constexpr int countColumns = static_cast<int>(counts.size());

QString limitName(int limit) {
    return limit == LowerLimit ? word(QT_TR_NOOP("lower limit, bpm")) : word(QT_TR_NOOP("upper limit, bpm"));
}

bool isSigned(agreement::Metric metric) {
    return metric == agreement::Metric::Bias;
}

int decimalsOf(const agreement::MetricFacts& facts) {
    return facts.kind == agreement::MetricKind::Correlation ? 3
           : facts.kind == agreement::MetricKind::Share     ? 1
                                                            : 2;
}

QString metricName(const agreement::MetricFacts& facts) {
    const auto name = fromCore(facts.name), unit = fromCore(facts.unit);
    return unit.isEmpty() ? name : name + QStringLiteral(", ") + unit;
}

/// What a column beyond the labels is.
struct Place {
    const Count* count = nullptr;
    const agreement::MetricFacts* metric = nullptr;
    int limit = -1;
};
Place placeOf(int column) {
    if (column < countColumns) return {&counts[static_cast<std::size_t>(column)], nullptr, -1};
    column -= countColumns;
    const auto metrics = agreement::metrics();
    // The limits stand behind the figures of the error, before the correlations.
    constexpr int before = 5;
    if (column >= before && column < before + limitColumns) return {nullptr, nullptr, column - before};
    const int at = column < before ? column : column - limitColumns;
    return {nullptr, &metrics[static_cast<std::size_t>(at)], -1};
}

}  // namespace

void GroupTableModel::setGroups(std::vector<AgreementGroup> groups, bool sessionWeighted, bool labelColumns) {
    beginResetModel();
    groups_ = std::move(groups);
    sessionWeighted_ = sessionWeighted;
    labelColumns_ = labelColumns;
    endResetModel();
}

int GroupTableModel::labels() const {
    return labelColumns_ && !groups_.empty() ? static_cast<int>(groups_.front().by.size()) : 0;
}

int GroupTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(groups_.size());
}

int GroupTableModel::columnCount(const QModelIndex& parent) const {
    if (parent.isValid() || groups_.empty()) return 0;
    return labels() + countColumns + limitColumns + static_cast<int>(agreement::metrics().size());
}

QString GroupTableModel::label(int row, int column) const {
    const auto& text = groups_[static_cast<std::size_t>(row)].by[static_cast<std::size_t>(column)].second;
    return text.empty() ? tr("not recorded") : QString::fromStdString(text);
}

GroupTableModel::Number GroupTableModel::number(int row, int column) const {
    const auto& group = groups_[static_cast<std::size_t>(row)];
    const auto place = placeOf(column - labels());
    if (place.count) return {place.count->value(group), {}, {}};
    if (place.metric) {
        const auto& figure =
            (sessionWeighted_ ? group.sessionWeighted : group.timeWeighted).of(place.metric->metric);
        return {figure.value, figure.ci95, QString::fromStdString(figure.method)};
    }
    const auto* limits = group.limits.chosen();
    if (!limits) return {};
    const auto& limit = place.limit == LowerLimit ? limits->lower : limits->upper;
    return {limit.value, limit.ci95, QString::fromStdString(group.limits.because)};
}

QString GroupTableModel::text(const Number& number, int column) const {
    const auto place = placeOf(column - labels());
    int decimals = place.count ? place.count->decimals : place.metric ? decimalsOf(*place.metric) : 1;
    // Beside a plot there is little room, and more digits than that are not known anyway.
    if (!labelColumns_ && decimals > 1) --decimals;
    const bool sign = !place.count && (!place.metric || isSigned(place.metric->metric));
    const auto one = [&](std::optional<double> value) {
        return sign ? signedText(value, decimals) : numberText(value, decimals);
    };
    if (!number.interval) return one(number.value);
    return (labelColumns_ ? tr("%1 (%2 to %3)") : tr("%1\n%2 to %3"))
        .arg(one(number.value), one(number.interval->lower), one(number.interval->upper));
}

QVariant GroupTableModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const int row = index.row(), column = index.column();
    if (column < labels()) {
        if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole || role == SortRole)
            return label(row, column);
        return {};
    }
    switch (role) {
        case Qt::DisplayRole:
            return text(number(row, column), column);
        case SortRole: {
            const auto value = number(row, column).value;
            return value ? QVariant(*value) : QVariant();
        }
        case Qt::TextAlignmentRole:
            return QVariant::fromValue(Qt::AlignRight | Qt::AlignVCenter);
        case Qt::ToolTipRole:
            return meaningOf(index);
        case Qt::AccessibleTextRole:
            return tr("%1, %2: %3")
                .arg(headerData(column, Qt::Horizontal, Qt::DisplayRole).toString(),
                     headerData(row, Qt::Vertical, Qt::AccessibleTextRole).toString(),
                     text(number(row, column), column));
        default:
            return {};
    }
}

QVariant GroupTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (section < 0 || section >= (orientation == Qt::Vertical ? rowCount() : columnCount())) return {};
    if (orientation == Qt::Vertical) {
        const auto& by = groups_[static_cast<std::size_t>(section)].by;
        if (role == Qt::DisplayRole)
            return labelColumns_ ? QVariant(section + 1)
                                 : QVariant(label(section, static_cast<int>(by.size()) - 1));
        if (role != Qt::AccessibleTextRole) return {};
        QStringList names;
        for (int i = 0; i < static_cast<int>(by.size()); ++i)
            names << label(section, i);
        return names.join(QStringLiteral(", "));
    }
    // Without labels the table stands upright, and these are the heads of its rows.
    if (role == Qt::TextAlignmentRole)
        return QVariant::fromValue((section < labels() || !labelColumns_ ? Qt::AlignLeft : Qt::AlignRight) |
                                   Qt::AlignVCenter);
    if (section < labels()) {
        const auto key = groups_.front().by[static_cast<std::size_t>(section)].first;
        return role == Qt::DisplayRole ? QVariant(fromCore(evaluation::groupKeyName(key))) : QVariant();
    }
    const auto place = placeOf(section - labels());
    if (role == Qt::DisplayRole)
        return place.count    ? word(place.count->name)
               : place.metric ? metricName(*place.metric)
                              : limitName(place.limit);
    if (role == Qt::ToolTipRole) return meaningOf(index(0, section));
    return {};
}

QString GroupTableModel::meaningOf(const QModelIndex& index) const {
    if (!index.isValid() || index.column() < labels()) return {};
    const auto place = placeOf(index.column() - labels());
    const auto found = number(index.row(), index.column());
    QStringList lines{headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString()};
    if (place.count) lines << word(place.count->definition);
    if (place.metric)
        lines << tr("Formula: %1.").arg(fromCore(place.metric->formula))
              << tr("Source: %1.").arg(fromCore(place.metric->source))
              << (sessionWeighted_ ? tr("Mean of the sessions’ values: each session counts alike.")
                                   : tr("Over all pairs: each second counts alike."));
    if (place.limit >= 0)
        lines << tr("95 % limit of agreement: 95 % of errors are expected between the two.")
              << tr("Source: Bland & Altman 1999, 2007; Zou 2013.");
    if (!found.method.isEmpty())
        lines << (place.limit >= 0 ? tr("Shown: %1.").arg(found.method)
                                   : tr("95 % interval: %1.").arg(found.method));
    return lines.join(QLatin1Char('\n'));
}

QString GroupTableModel::tabSeparated(const QList<int>& chosen) const {
    QList<int> rows = chosen;
    if (rows.isEmpty()) {
        rows.resize(rowCount());
        std::iota(rows.begin(), rows.end(), 0);
    }
    QStringList lines, heads;
    for (int column = 0; column < columnCount(); ++column) {
        const auto head = headerData(column, Qt::Horizontal, Qt::DisplayRole).toString();
        heads << head;
        if (column >= labels() + countColumns) heads << tr("%1, from").arg(head) << tr("%1, to").arg(head);
    }
    lines << heads.join(QLatin1Char('\t'));
    const auto plain = [](std::optional<double> value) {
        return value ? QString::number(*value, 'g', 10) : QString();
    };
    for (const int row : rows) {
        QStringList cells;
        for (int column = 0; column < columnCount(); ++column) {
            if (column < labels()) {
                cells << label(row, column);
                continue;
            }
            const auto found = number(row, column);
            cells << plain(found.value);
            if (column < labels() + countColumns) continue;
            cells << (found.interval ? plain(found.interval->lower) : QString())
                  << (found.interval ? plain(found.interval->upper) : QString());
        }
        lines << cells.join(QLatin1Char('\t'));
    }
    return lines.join(QLatin1Char('\n')) + QLatin1Char('\n');
}

}  // namespace beatwitness::widgets
