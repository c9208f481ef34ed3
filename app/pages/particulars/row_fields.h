#pragma once

#include <QLocale>
#include <optional>
#include <utility>

#include "app/document/library_document.h"
#include "widgets/inputs/field_list.h"

namespace beatwitness::app {

/// Binds fields of a list to what the library stores of one row: reading shows it, writing is one edit.
template <class RowId, class Particulars>
class RowFields {
public:
    /// `name`: of the row, for the undo texts ("firmware of band").
    RowFields(widgets::FieldList& list, LibraryDocument& library, RowId id, QString name)
        : list_(list), library_(library), id_(id), name_(std::move(name)) {}

    /// `member`: from the particulars to a std::string of them.
    template <class Member>
    QLineEdit* text(const QString& label, Member member, const QStringList& suggestions = {}) {
        return custom(
            label, [member](Particulars& is) { return QString::fromStdString(member(is)); },
            [member](Particulars& is, const QString& typed) -> std::optional<QString> {
                member(is) = typed.toStdString();
                return std::nullopt;
            },
            suggestions);
    }

    /// `member`: to an optional number of `unit`, from `least` to `most`.
    template <class Member>
    void number(const QString& label, Member member, double least, double most) {
        using Number = typename std::decay_t<decltype(member(std::declval<Particulars&>()))>::value_type;
        custom(
            label,
            [member](Particulars& is) {
                const auto& value = member(is);
                if (!value) return QString();
                QLocale locale;
                locale.setNumberOptions(QLocale::OmitGroupSeparator);
                return locale.toString(static_cast<double>(*value), 'g', 8);
            },
            [=](Particulars& is, const QString& typed) -> std::optional<QString> {
                if (typed.isEmpty()) {
                    member(is).reset();
                    return std::nullopt;
                }
                bool isNumber = false;
                const double value =
                    QString(typed).replace(QLatin1Char(','), QLatin1Char('.')).toDouble(&isNumber);
                if (!isNumber || value < least || value > most)
                    return widgets::FieldList::tr("A number from %1 to %2 was expected.")
                        .arg(least)
                        .arg(most);
                member(is) = static_cast<Number>(value);
                return std::nullopt;
            });
    }

    /// `read`: particulars to text; `take`: text into particulars, or a sentence why not.
    template <class Read, class Take>
    QLineEdit* custom(const QString& label, Read read, Take take, const QStringList& suggestions = {}) {
        return list_.addField(label, reader(read), writer(label, take), suggestions);
    }

    template <class Read, class Take>
    void choice(const QString& label, const QStringList& choices, Read read, Take take) {
        list_.addChoice(label, choices, reader(read), writer(label, take));
    }

private:
    template <class Read>
    widgets::FieldList::Read reader(Read read) {
        return [read, &library = library_, id = id_] {
            auto is = library.particulars(id);
            return is ? read(*is) : QString();
        };
    }

    template <class Take>
    widgets::FieldList::Write writer(const QString& label, Take take) {
        return [take, &library = library_, id = id_, name = name_, label](const QString& typed) {
            auto is = library.particulars(id);
            if (!is) return std::optional<QString>{};
            if (auto why = take(*is, typed)) return why;
            library.edit(widgets::FieldList::tr("%1 of %2").arg(label, name),
                         {library::RowOf<RowId, Particulars>{id, *is}});
            return std::optional<QString>{};
        };
    }

    widgets::FieldList& list_;
    LibraryDocument& library_;
    RowId id_;
    QString name_;
};

}  // namespace beatwitness::app
