#pragma once

#include <QWidget>
#include <functional>
#include <optional>
#include <vector>

class QComboBox;
class QGridLayout;
class QLabel;
class QLineEdit;

namespace beatwitness::widgets {

/// Labelled fields one under another, edited in place: Enter or leaving a field takes what was typed, Escape
/// takes it back. Empty fields say "not recorded". What cannot be taken is told below the field.
class FieldList : public QWidget {
    Q_OBJECT

public:
    using Read = std::function<QString()>;
    /// Takes the text; returns a sentence where it cannot.
    using Write = std::function<std::optional<QString>(const QString&)>;

    explicit FieldList(QWidget* parent = nullptr);

    QLineEdit* addField(const QString& label, Read read, Write write, const QStringList& suggestions = {});
    /// One of `choices`; read and written as its text.
    QComboBox* addChoice(const QString& label, const QStringList& choices, Read read, Write write);
    /// An editor of another kind; its owner reads and writes it.
    void addEditor(const QString& label, QWidget* editor);
    /// Something worked out of the others; cannot be edited.
    QLabel* addFact(const QString& label, Read read);

    /// Shows what is stored now; a field in which somebody types is left alone.
    void refresh();
    void setReadOnly(bool readOnly);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    struct Field {
        QLineEdit* edit = nullptr;
        QComboBox* choice = nullptr;
        QLabel* fact = nullptr;
        QLabel* complaint = nullptr;
        Read read;
        Write write;
    };

    void addRow(const QString& label, QWidget* editor, Field field);
    void take(std::size_t index);
    void complain(Field& field, const std::optional<QString>& why);

    QGridLayout* grid_;
    std::vector<Field> fields_;
};

}  // namespace beatwitness::widgets
